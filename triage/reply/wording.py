"""The shop's phrases: chosen, filled in, and spelled as the shop spells."""

from __future__ import annotations

import re
from collections.abc import Mapping
from zlib import crc32

from jinja2 import Environment, StrictUndefined, Template, UndefinedError

from triage.pack import Pack

_WORD = re.compile(r"[A-Za-z][A-Za-z-]*")


class Phrasebook:
    """Phrases of a pack by key; the same question always gets the same alternative."""

    def __init__(self, pack: Pack) -> None:
        self.forms = pack.spoken  # how units and short forms are said
        self._phrases = pack.wording.phrases
        self._environment = Environment(autoescape=False, undefined=StrictUndefined)
        self._compiled: dict[str, Template] = {}
        self._spelling = dict(pack.words.spelling) if pack.shop.spelling == "american" else {}
        self._shop = {
            "shop": pack.shop.name,
            "signer": pack.shop.signer or pack.shop.name,
            "sign_off": pack.shop.sign_off,
        }

    def say(self, key: str, seed: str = "", **values: object) -> str:
        """The phrase under a key, filled in. Raises KeyError naming a missing key or variable."""
        alternatives = self._phrases.get(key)
        if not alternatives:
            raise KeyError(f"wording/phrases.yaml has no '{key}'")
        text = alternatives[crc32(f"{seed}{key}".encode()) % len(alternatives)]
        if text not in self._compiled:
            self._compiled[text] = self._environment.from_string(text)
        template = self._compiled[text]
        try:
            return template.render({**self._shop, **values}).strip()
        except UndefinedError as error:
            raise KeyError(f"wording/phrases.yaml, '{key}': {error.message}") from error

    def has(self, key: str) -> bool:
        """True when the pack words this key."""
        return bool(self._phrases.get(key))

    def spelled(self, text: str) -> str:
        """The text in the shop's spelling."""
        return respell(text, self._spelling) if self._spelling else text


def respell(text: str, table: Mapping[str, str]) -> str:
    """Whole words replaced, capitals kept.

    >>> respell("Tyre wear", {"tyre": "tire"})
    'Tire wear'
    """

    def replaced(match: re.Match[str]) -> str:
        word = match[0]
        other = table.get(word.lower())
        if other is None:
            return word
        return other.upper() if word.isupper() and len(word) > 1 else other.capitalize() if word[0].isupper() else other

    return _WORD.sub(replaced, text)
