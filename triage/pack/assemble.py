"""Find and read all files of a pack and lay its parts over each other, keeping every problem on the way."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from triage.pack.documents import Document, Unreadable, read_document, read_text
from triage.pack.problem import Problem
from triage.pack.records import CAUSES_SEEN, PHRASES, SHOP, SHOP_FOLDERS, TRADE_LISTS, WORDS, Entry, Kind, build
from triage.pack.wording import Wording, override
from triage.pack.words import Words, add_words
from triage.pack.yamltext import BadYaml, Plain


@dataclass
class Assembly:
    """What has been read so far; `entries` holds by kind name and id what is in force."""

    root: Path
    shop: Entry | None = None
    entries: dict[str, dict[str, Entry]] = field(default_factory=dict)
    words: Words = field(default_factory=Words)
    word_files: list[Entry] = field(default_factory=list)
    wording: Wording = field(default_factory=Wording)
    problems: list[Problem] = field(default_factory=list)
    phrase_files: list[Entry] = field(default_factory=list)
    template_files: list[tuple[Path, str]] = field(default_factory=list)
    parts: list[Path] = field(default_factory=list)  # the trade/ and shop/ folders read
    files: set[Path] = field(default_factory=set)  # every file read
    sums: list[str] = field(default_factory=list)  # what the digest is made of

    def of(self, kind: Kind) -> dict[str, Entry]:
        """The entries of one kind by id, in the order first met."""
        return self.entries.setdefault(kind.name, {})

    def digest(self) -> str:
        """Hash over the content of every file, for caches."""
        return hashlib.sha256("\n".join(self.sums).encode()).hexdigest()


def assemble_trade(trade: Path) -> Assembly:
    """The trade part alone."""
    result = Assembly(trade)
    _add_trade(trade, result)
    return result


def assemble(root: Path, trade: Path) -> Assembly:
    """Read the trade part, then each pack this one extends, then this pack itself."""
    result = Assembly(root)
    chain = _chain(root, result)
    for part in _distinct([trade, *(pack / "trade" for pack in chain)]):
        _add_trade(part, result)
    for pack in chain:
        _add_shop(pack / "shop", result, own=pack == chain[-1])
    return result


def _chain(root: Path, result: Assembly) -> list[Path]:
    """The packs to lay over each other, the one named last; stops at a circle or a pack that is not there."""
    chain = [root]
    while step := _extends(chain[0], result):
        base, document = step
        if base.resolve() in [pack.resolve() for pack in chain]:
            circle = " -> ".join(str(pack) for pack in [*reversed(chain), base])
            message = f"the packs go round in a circle: {circle}"
            result.problems.append(document.problem(["extends"], message, "Take one 'extends' out."))
            break
        if not (base / "shop").is_dir():
            fix = f"Give the path of a folder with shop/ in it, as seen from {chain[0]}."
            result.problems.append(document.problem(["extends"], f"there is no pack at {base}", fix))
            break
        chain.insert(0, base)
    return chain


def _extends(pack: Path, result: Assembly) -> tuple[Path, Document] | None:
    try:
        file = pack / "shop" / "shop.yaml"
        document = read_document(file)
        result.files.add(file)
        data = document.data()
    except (OSError, Unreadable, BadYaml):
        return None  # told when the file is read in its turn
    name = data.get("extends") if isinstance(data, dict) else None
    return (Path(os.path.normpath(pack / name)), document) if isinstance(name, str) and name else None


def _distinct(folders: list[Path]) -> Iterator[Path]:
    seen: set[Path] = set()
    for folder in folders:
        if folder.is_dir() and folder.resolve() not in seen:
            seen.add(folder.resolve())
            yield folder


def _add_trade(folder: Path, result: Assembly) -> None:
    result.parts.append(folder)
    for kind in TRADE_LISTS:
        new: dict[str, Entry] = {}
        for document, data in _documents(_existing(folder / f"{kind.name}.yaml"), result):
            _add_list(kind, document, data, new, result)
        result.of(kind).update(new)
    for document, data in _documents(_existing(folder / "words.yaml"), result):
        for entry in _built(WORDS, data or {}, document, (), result):
            result.words = add_words(result.words, entry.record)
            result.word_files.append(entry)
    _add_wording(folder / "wording", result)


def _add_list(kind: Kind, document: Document, data: Plain, new: dict[str, Entry], result: Assembly) -> None:
    if data is None:
        return
    if not isinstance(data, list):
        fix = "Start each record with '- id: ...'."
        result.problems.append(document.problem([], f"{kind.name}.yaml must be a list of records", fix))
        return
    for index, item in enumerate(data):
        for entry in _built(kind, item, document, (index,), result):
            _add_new(entry, new, result)


def _add_shop(folder: Path, result: Assembly, *, own: bool) -> None:
    result.parts.append(folder)
    if own:
        _read_shop(folder / "shop.yaml", result)
    for kind in SHOP_FOLDERS:
        new: dict[str, Entry] = {}
        files = sorted(path for path in (folder / kind.name).rglob("*.md") if path.name != "README.md")
        for document, data in _documents(files, result):
            for entry in _built(kind, data, document, (), result):
                _add_new(entry, new, result)
        result.of(kind).update(new)
    for document, data in _documents(_existing(folder / "causes_seen.yaml"), result):
        _add_list(CAUSES_SEEN, document, data, result.of(CAUSES_SEEN), result)
    _add_wording(folder / "wording", result)


def _read_shop(file: Path, result: Assembly) -> None:
    if not file.is_file():
        fix = "Name the folder that holds shop/, or make one with: triage pack new DIR"
        result.problems.append(Problem(str(file), 0, 0, "", "there is no such file", fix))
    for document, data in _documents(_existing(file), result):
        for entry in _built(SHOP, data, document, (), result):
            result.shop = entry


def _add_wording(folder: Path, result: Assembly) -> None:
    for document, data in _documents(_existing(folder / "phrases.yaml"), result):
        for entry in _built(PHRASES, data or {}, document, (), result):
            result.wording = override(result.wording, Wording(phrases=entry.record))
            result.phrase_files.append(entry)
    for file in sorted(folder.glob("*.j2")):
        result.files.add(file)
        try:
            text = read_text(file)
        except Unreadable as error:
            result.problems.append(error.problem)
            continue
        result.sums.append(f"{file.name} {hashlib.sha256(text.encode()).hexdigest()}")
        result.wording = override(result.wording, Wording(templates={file.stem: text}))
        result.template_files.append((file, text))


def _existing(file: Path) -> list[Path]:
    return [file] if file.is_file() else []


def _documents(files: list[Path], result: Assembly) -> Iterator[tuple[Document, Plain]]:
    for file in files:
        result.files.add(file)
        try:
            document = read_document(file)
        except Unreadable as error:
            result.problems.append(error.problem)
            continue
        result.sums.append(f"{file.name} {document.sha}")
        try:
            data = document.data()
        except BadYaml as error:
            result.problems.append(document.syntax_problem(error))
        else:
            yield document, data


def _built(
    kind: Kind, data: Plain, document: Document, path: tuple[str | int, ...], result: Assembly
) -> Iterator[Entry]:
    made = build(kind, data, document, path)
    if isinstance(made, Entry):
        yield made
    else:
        result.problems.extend(made)


def _add_new(entry: Entry, new: dict[str, Entry], result: Assembly) -> None:
    name = entry.record.id
    if name in new:
        first = new[name].problem(["id"], "")
        fix = "Give one of the two another id."
        message = f"the id '{name}' is already taken by {first.file}, line {first.line}"
        result.problems.append(entry.problem(["id"], message, fix))
    else:
        new[name] = entry
