"""The file of an answer written so that a diff shows what was changed and nothing else."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from typing import Any

import yaml

from triage.pack.render import to_data
from triage.pack.schema import Answer

WIDTH = 110
_KEY = re.compile(r"^([A-Za-z_]+):")
_FENCE = "---"


class _Indented(yaml.SafeDumper):
    """Lists stand in from their key, as people write them."""

    def increase_indent(self, flow: bool = False, indentless: bool = False) -> None:
        super().increase_indent(flow, False)


def fresh(answer: Answer) -> str:
    """The file of a new answer."""
    given = to_data(answer)
    body = given.pop("text", "")
    return f"{_FENCE}\n{_dump(given, indented=True)}{_FENCE}\n" + (f"\n{body}\n" if body else "")


def changed(text: str, before: Answer, after: Answer) -> str:
    """The file `text` of an answer with what differs between the two records, and every other line as it stands.

    A list that only grew gets lines at its end. Comments beside a key that is written anew are lost.
    """
    front, body = _parts(text)
    old, new = to_data(before), to_data(after)
    old_body, new_body = old.pop("text", ""), new.pop("text", "")
    chunks = _chunks(front)
    indented = not re.search(r"^- ", front, re.MULTILINE)
    written = {name: _chunk(name, chunks.get(name, ""), old.get(name), value, indented) for name, value in new.items()}
    # a key that is given its default stands in no record, and stays
    stay = {name: chunk for name, chunk in chunks.items() if name in new or name not in old}
    head = "".join(written.get(name) or stay[name] for name in _order(stay, new))
    return f"{_FENCE}\n{head}{_FENCE}\n" + (body if old_body == new_body else _body(body, new_body))


def _parts(text: str) -> tuple[str, str]:
    """What stands between the two fences, and what comes after, as it is."""
    _, front, body = re.split(rf"^{_FENCE}[ \t]*\n", text.replace("\r\n", "\n"), maxsplit=2, flags=re.MULTILINE)
    return front, body


def _chunks(front: str) -> dict[str, str]:
    """The lines of each key at the left edge; what comes before the first key under ""."""
    chunks: dict[str, str] = {}
    name = ""
    for line in front.splitlines(keepends=True):
        if found := _KEY.match(line):
            name = found[1]
        chunks[name] = chunks.get(name, "") + line
    return chunks


def _order(chunks: Mapping[str, str], new: Mapping[str, Any]) -> Sequence[str]:
    """Keys as they stand; a key that comes new stands after the one it follows in the schema."""
    order = list(chunks)
    names = list(new)
    for place, name in enumerate(names):
        if name not in order:
            order.insert(order.index(names[place - 1]) + 1 if place else 0, name)
    return order


def _chunk(name: str, text: str, old: Any, new: Any, indented: bool) -> str:
    if text and old == new:
        return text
    grew = isinstance(old, list) and isinstance(new, list) and text and old == new[: len(old)]
    if grew and not re.match(r"^\w+:\s*\[", text):
        return text + "".join(_dump({name: new[len(old) :]}, indented).splitlines(keepends=True)[1:])
    if isinstance(new, str) and text.startswith(f'{name}: "'):
        return f"{name}: {json.dumps(new, ensure_ascii=False)}\n"  # in the quotes it stood in
    return _dump({name: new}, indented)


def _body(old: str, new: str) -> str:
    lead = re.match(r"\n*", old)
    return f"{lead[0] if lead else ''}{new}\n" if new else ""


def _dump(data: Mapping[str, Any], indented: bool) -> str:
    dumper = _Indented if indented else yaml.SafeDumper
    text: str = yaml.dump(data, Dumper=dumper, sort_keys=False, allow_unicode=True, width=WIDTH)
    return text
