"""Ampwright: one job record for the electrician who fits a charge point at a home."""

__version__ = "0.1.0"
