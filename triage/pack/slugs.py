"""Short safe names out of any text."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Container, Iterable
from itertools import chain, count

_LONGEST = 60
# Names that some systems keep for devices, whatever the ending.
_RESERVED = re.compile(r"^(con|prn|aux|nul|com\d|lpt\d)$")


def slug(text: str, joiner: str = "-") -> str:
    """Lower-case ASCII letters and digits with `joiner` between; "" when none are left.

    >>> slug("Tarvik  Lärk 48 V!")
    'tarvik-lark-48-v'
    """
    plain = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode().lower()
    words = re.findall(r"[a-z0-9]+", plain)
    return joiner.join(words)[:_LONGEST].rstrip(joiner)


def unused(name: str, taken: Container[str]) -> str:
    """`name`, or `name-2`, `name-3`... when it is taken; `taken` holds names without case (casefold)."""
    numbered = (f"{name}-{number}" for number in count(2))
    return next(one for one in chain([name], numbered) if one.casefold() not in taken)


def file_names(ids: Iterable[str]) -> dict[str, str]:
    """A file name (without ending) for each id: safe on every system, and no two alike."""
    names: dict[str, str] = {}
    used: set[str] = set()
    for one in ids:
        plain = slug(one) or "entry"
        names[one] = unused(f"{plain}-1" if _RESERVED.match(plain) else plain, used)
        used.add(names[one].casefold())
    return names
