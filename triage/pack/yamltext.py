"""YAML as plain text values: the schema, not the spelling of a value, decides its type.

Every scalar is read as text ("no", 2009-01-01 and 007 stay what was written); an empty value, `~` or `null`
is None. Nothing is ever constructed from a tag, and aliases are refused, so a pack can neither run code nor
blow up.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import yaml

# The parser written in C reads several times faster; without it the same grammar in Python serves.
_LOADER: Any = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
_NULLS = frozenset({"", "~", "null"})

Plain = str | None | list["Plain"] | dict[str, "Plain"]


class BadYaml(ValueError):
    """The text is not YAML of the kind used here; line and column count from 1."""

    def __init__(self, message: str, line: int, column: int) -> None:
        super().__init__(message)
        self.message, self.line, self.column = message, line, column


def parse(text: str) -> Plain:
    """The document as text, lists and dicts. Raises BadYaml for bad syntax, a key twice, or an alias."""
    return plain(compose(text))


def plain(node: yaml.Node | None) -> Plain:
    """What `parse` gives, of a document already composed."""
    return None if node is None else _plain(node, set())


def locate(node: yaml.Node | None, path: Sequence[str | int], *, of_key: bool = False) -> tuple[int, int]:
    """Line and column of the value at `path`, or of as much of the path as there is."""
    mark = node
    for step in path:
        key, value = _child(node, step)
        if value is None:
            break
        node, mark = value, key if of_key and key is not None else value
    return (1, 1) if mark is None else (mark.start_mark.line + 1, mark.start_mark.column + 1)


def compose(text: str) -> yaml.Node | None:
    """The nodes of the document, which know their lines; None when empty. Raises BadYaml for bad syntax."""
    try:
        node: yaml.Node | None = yaml.compose(text, Loader=_LOADER)
    except yaml.MarkedYAMLError as error:
        raise _syntax(error) from error
    except yaml.reader.ReaderError as error:
        line = text.count("\n", 0, error.position) + 1
        raise BadYaml(f"the character {error.character!r} is not allowed", line, 1) from error
    except RecursionError as error:
        raise BadYaml("nested too deeply", 1, 1) from error
    return node


def _syntax(error: yaml.MarkedYAMLError) -> BadYaml:
    """A quote or bracket that is never closed is told where it opens, anything else where it shows."""
    open_ended = "end of stream" in str(error.problem) and error.context_mark
    mark = open_ended or error.problem_mark or error.context_mark
    message = f"{error.problem or error}" + (f" {error.context}" if error.context else "")
    return BadYaml(message, *((mark.line + 1, mark.column + 1) if mark else (1, 1)))


def _plain(node: yaml.Node, seen: set[int]) -> Plain:
    if isinstance(node, yaml.ScalarNode):
        return None if not node.style and node.value in _NULLS else str(node.value)
    if id(node) in seen:
        raise _bad(node, "an alias (*name) repeats this part; write it out where it is needed")
    seen.add(id(node))
    if isinstance(node, yaml.SequenceNode):
        return [_plain(item, seen) for item in node.value]
    return _mapping(node, seen)


def _mapping(node: yaml.Node, seen: set[int]) -> dict[str, Plain]:
    result: dict[str, Plain] = {}
    for key, value in node.value:
        if not isinstance(key, yaml.ScalarNode):
            raise _bad(key, "a key must be a word, not a list or a mapping")
        if key.value in result:
            raise _bad(key, f"the key '{key.value}' stands here twice")
        result[key.value] = _plain(value, seen)
    return result


def _bad(node: yaml.Node, message: str) -> BadYaml:
    return BadYaml(message, node.start_mark.line + 1, node.start_mark.column + 1)


def _child(node: yaml.Node | None, step: str | int) -> tuple[yaml.Node | None, yaml.Node | None]:
    if isinstance(node, yaml.SequenceNode) and isinstance(step, int) and step < len(node.value):
        return None, node.value[step]
    if isinstance(node, yaml.MappingNode):
        pairs = ((key, value) for key, value in node.value if key.value == str(step))
        return next(pairs, (None, None))
    return None, None
