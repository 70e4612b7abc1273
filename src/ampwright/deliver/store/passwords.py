"""Passwords are kept as argon2id hashes only, and checking one costs the same whether or not there is such a person."""

from __future__ import annotations

import secrets
from functools import cache
from threading import BoundedSemaphore

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

LEAST_LETTERS_COUNT, MOST_LETTERS_COUNT = 12, 200  # our own choice; no rule about signs or digits
AT_ONCE_COUNT = 2  # each takes 64 MiB, so a flood of sign-ins waits here and not in memory
_HASHER = PasswordHasher()
_TURN = BoundedSemaphore(AT_ONCE_COUNT)
_FIRST_LETTERS = "abcdefghjkmnpqrstuvwxyz23456789"


def hashed(password: str) -> str:
    """The hash of a password, with its own salt and settings."""
    with _TURN:
        return _HASHER.hash(password)


def is_right(kept: str | None, password: str) -> bool:
    """Whether this is the password of a hash. Without a hash the same work is done, and the answer is no."""
    with _TURN:
        try:
            return _HASHER.verify(kept or nobodys(), password[:MOST_LETTERS_COUNT]) and kept is not None
        except (VerificationError, InvalidHashError):
            return False


def is_weak_by_now(kept: str) -> bool:
    """Whether a hash was made with weaker settings than those of today."""
    return _HASHER.check_needs_rehash(kept)


def faults(password: str, *others: str) -> list[str]:
    """What is wrong with a new password; `others` are the person's names, which it may not be."""
    found = []
    if len(password) < LEAST_LETTERS_COUNT:
        found.append(f"the password has {len(password)} letters and needs at least {LEAST_LETTERS_COUNT}; "
                     "a few words in a row are easy to keep")  # fmt: skip
    if len(password) > MOST_LETTERS_COUNT:
        found.append(f"the password is longer than {MOST_LETTERS_COUNT} letters")
    if password.strip().lower() in {each.strip().lower() for each in others} or len(set(password)) < 4:
        found.append("the password is too easy to guess: it is a name, or the same few letters again and again")
    return found


def first_password() -> str:
    """A password to be told to a new person and changed when they first sign in: 77 bits."""
    parts = ("".join(secrets.choice(_FIRST_LETTERS) for _ in range(4)) for _ in range(4))
    return "-".join(parts)


@cache
def nobodys() -> str:
    """The hash of a password that nobody knows."""
    return _HASHER.hash(secrets.token_hex(16))
