"""Sensors: where each must go, what it would read elsewhere, and which one is wrong."""
