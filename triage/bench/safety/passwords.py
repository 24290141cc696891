"""Passwords: hashed with argon2id, compared without telling which of name and password was wrong."""

from __future__ import annotations

from functools import cache
from threading import Lock

from argon2 import PasswordHasher
from argon2.exceptions import Argon2Error, InvalidHashError

SHORTEST, LONGEST = 10, 200  # characters (NIST SP 800-63B asks for 8 at least, and for long ones to be allowed)
_hasher = PasswordHasher()  # RFC 9106, low-memory choice: 64 MiB
_one_at_a_time = Lock()  # each takes those 64 MiB


class WeakPassword(ValueError):
    """The password cannot be used; the message says why."""


def hashed(password: str) -> str:
    """The hash to keep. Raises WeakPassword."""
    if not SHORTEST <= len(password) <= LONGEST:
        raise WeakPassword(f"A password has {SHORTEST} to {LONGEST} characters; several words make a good one.")
    with _one_at_a_time:
        return _hasher.hash(password)


def fits(password: str, kept: str | None) -> bool:
    """True when the password belongs to the hash. Without one it takes as long, and is false."""
    with _one_at_a_time:
        try:
            right = _hasher.verify(kept or _nobody(), password[: LONGEST + 1])
        except (Argon2Error, InvalidHashError):
            return False
    return right and kept is not None


@cache
def _nobody() -> str:
    return _hasher.hash("nobody has this password")
