"""The bill of materials: what an installed program consists of, with licences: python -m tests.house.parts

Writes docs/sbom.cdx.json (CycloneDX) from the metadata of what is installed, and docs/licences.md from that. Only what
the program needs to run is listed: the dependencies of pyproject.toml, and what they need in turn.
"""

from __future__ import annotations

import json
import subprocess
import sys
import tomllib
from importlib import metadata
from pathlib import Path
from typing import Any

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).parents[2]
BILL, LICENCES = ROOT / "docs" / "sbom.cdx.json", ROOT / "docs" / "licences.md"
_HEAD = """# What the program is made of

The packages an installed program consists of. Written by `make bill` from what is installed; the same as a bill of
materials for machines: `sbom.cdx.json` (CycloneDX). The shipped sentence encoder is all-MiniLM-L6-v2 (Apache-2.0)
with what it was taught of the trade, made smaller by `triage encoder build`.

| package | version | licence | for what |
|---|---|---|---|
"""


def needed(lines: list[str]) -> set[str]:
    """The packages these requirements bring on this machine, by canonical name."""
    found: set[str] = set()
    waiting = [Requirement(line) for line in lines]
    while waiting:
        requirement = waiting.pop()
        name = canonicalize_name(requirement.name)
        if name in found:
            continue
        found.add(name)
        extras = requirement.extras or {""}
        waiting += [
            below
            for below in map(Requirement, metadata.requires(name) or ())
            if below.marker is None or any(below.marker.evaluate({"extra": extra}) for extra in extras)
        ]
    return found


def dependencies() -> list[str]:
    """What pyproject.toml names for running the program."""
    return list(tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]["dependencies"])


def reasons() -> dict[str, str]:
    """What pyproject.toml says each dependency is for."""
    lines = (ROOT / "pyproject.toml").read_text(encoding="utf-8").splitlines()
    pairs = (line.strip().partition("#") for line in lines if line.strip().startswith('"') and "#" in line)
    return {canonicalize_name(Requirement(named.strip(' ",')).name): why.strip() for named, _, why in pairs}


def bill() -> dict[str, Any]:
    """The bill of what is installed, cut down to what the program needs; nothing in it hangs on time or machine."""
    command = [sys.executable, "-m", "cyclonedx_py", "environment", "--output-reproducible", sys.executable]
    whole = json.loads(subprocess.run(command, check=True, capture_output=True, text=True).stdout)
    wanted = needed(dependencies())
    kept = [part for part in whole["components"] if canonicalize_name(part["name"]) in wanted]
    names = {part["bom-ref"] for part in kept}
    for part in kept:
        part.pop("externalReferences", None)
        part.pop("properties", None)
        for licence in part.get("licenses", ()):
            licence.get("license", {}).pop("text", None)
    graph = [
        {**entry, "dependsOn": [ref for ref in entry.get("dependsOn", ()) if ref in names]}
        for entry in whole["dependencies"]
        if entry["ref"] in names
    ]
    return {
        "bomFormat": whole["bomFormat"], "specVersion": whole["specVersion"], "version": 1,
        "metadata": {"component": {"type": "application", "name": "cart-triage", "bom-ref": "cart-triage"}},
        "components": kept, "dependencies": graph,
    }  # fmt: skip


def licence_of(part: dict[str, Any]) -> str:
    """The licence in a word or two, as the package states it."""
    stated = [entry.get("expression") or _named(entry["license"]) for entry in part.get("licenses", ())]
    short = [text for text in stated if text and "\n" not in text and len(text) < 60]
    return " / ".join(dict.fromkeys(short)) or "see the package"


def _named(licence: dict[str, str]) -> str:
    name = licence.get("id") or licence.get("name", "")
    return name.rpartition(":: ")[2] if name.startswith("License ::") else name


def table(found: dict[str, Any]) -> str:
    """docs/licences.md."""
    why = reasons()
    rows = [
        f"| {part['name']} | {part['version']} | {licence_of(part)} | "
        f"{why.get(canonicalize_name(part['name']), 'needed by one of these')} |\n"
        for part in sorted(found["components"], key=lambda part: part["name"].lower())
    ]
    return _HEAD + "".join(rows)


if __name__ == "__main__":
    made = bill()
    BILL.write_text(json.dumps(made, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
    LICENCES.write_text(table(made), encoding="utf-8")
