"""A small trade part and a small shop, written out as files, to be changed by each test."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

TRADE = {
    "facts.yaml": """\
- id: make
  label: make
  kind: text
- id: pack_voltage
  label: pack voltage
  kind: number
  low: 12
  high: 120
- id: battery_chemistry
  label: battery type
  kind: choice
  values: [flooded, agm, gel, lithium]
""",
    "symptoms.yaml": """\
- id: no_move
  label: does not move
  component: drive
  misbehaviour: does nothing
""",
    "causes.yaml": """\
- id: dead_pack
  label: flat pack
  prior: 0.2
  symptoms:
    no_move: 0.9
""",
    "checks.yaml": """\
- id: measure_pack
  label: measure the pack
  text: Measure across the pack.
  minutes: 5
  causes: [dead_pack]
  outcomes:
    - finding: under 46 V
      means: the pack is flat
      cause: dead_pack
  hazards: [acid]
""",
    "hazards.yaml": """\
- id: acid
  label: battery acid
  signal: WARNING
  note: Wear goggles.
  short: Goggles on.
  phrases: [acid]
  aliases: [sulphuric acid, corrosive]
- id: hydrogen_gas
  label: hydrogen
  signal: DANGER
  note: No flame near it.
  short: No flame.
  phrases: [gas smell]
  aliases: [explosive gas, corrosive]
""",
    "sources.yaml": "- id: meter\n  title: Meter handbook\n  kind: published\n",
    "words.yaml": "parts:\n  battery: [batt, cell]\ntypos:\n  batery: battery\n",
    "wording/phrases.yaml": "thanks: [Thank you.]\nsign_off: [Bye.]\n",
    "wording/reply.j2": "{{ body }}",
}

SHOP = {
    "shop/shop.yaml": "name: Test Works\nmail: shop@works.example\n",
    "shop/vehicles/lark.md": """\
---
id: lark
make: Tarvik
model: Lark
powertrain: electric
year_from: 2008
year_to: 2018
pack_voltage: 48
batteries: 6x8
battery_chemistry: flooded
---
Seat lifts forward.
""",
    "shop/answers/flat.md": """\
---
id: flat
title: Flat pack
question: Why does it not move?
applies_to:
  makes: [Tarvik]
needs: [pack_voltage]
hazards: [acid]
---
Charge it.

---

Then measure it.
""",
}


def write(root: Path, files: dict[str, str]) -> Path:
    """Write the files under `root`."""
    for name, text in files.items():
        file = root / name
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text, encoding="utf-8", newline="")
    return root


@pytest.fixture
def trade(tmp_path: Path) -> Path:
    """The small trade part."""
    return write(tmp_path / "trade", TRADE)


MakePack = Callable[..., Path]


@pytest.fixture
def make_pack(tmp_path: Path) -> MakePack:
    """Make the small shop, with files changed or added: make_pack({"shop/shop.yaml": "..."})."""

    def make(changes: dict[str, str] | None = None, name: str = "shop_pack") -> Path:
        return write(tmp_path / name, SHOP | (changes or {}))

    return make
