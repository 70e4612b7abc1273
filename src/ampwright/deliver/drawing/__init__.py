"""Drawings to scale, as SVG that prints and that a screen reader can read."""
