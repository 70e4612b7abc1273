"""Refuse numbers that no circuit can have, and name the one at fault."""

import math


def positive(**value: float) -> None:
    """Raise ValueError, naming the number, unless each is finite and above zero."""
    for name, number in value.items():
        if not (math.isfinite(number) and number > 0):
            raise ValueError(f"{name} must be above zero, but {number:g} was given")


def not_negative(**value: float) -> None:
    """Raise ValueError, naming the number, unless each is finite and zero or more."""
    for name, number in value.items():
        if not (math.isfinite(number) and number >= 0):
            raise ValueError(f"{name} must be zero or more, but {number:g} was given")


def ratio(**value: float) -> None:
    """Raise ValueError, naming the number, unless each lies from 0 to 1."""
    for name, number in value.items():
        if not 0 <= number <= 1:
            raise ValueError(f"{name} must lie from 0 to 1, but {number:g} was given")
