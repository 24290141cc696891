"""A pack is the trade part with the shop's parts laid over it."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import pytest

from triage.pack import PackError, load

from .conftest import MakePack, write


def test_holds_everything_the_files_say(make_pack: MakePack, trade: Path) -> None:
    pack = load(make_pack(), trade=trade)
    assert pack.shop.name == "Test Works"
    assert pack.vehicle("lark").pack_voltage == 48
    assert pack.vehicle("lark").notes == "Seat lifts forward."
    assert pack.answer("flat").text == "Charge it.\n\n---\n\nThen measure it."
    assert list(pack.facts) == ["make", "pack_voltage", "battery_chemistry"]
    assert pack.hazards["acid"].note == "Wear goggles."
    assert pack.words.parts == {"battery": ["batt", "cell"]}
    assert pack.wording.templates == {"reply": "{{ body }}"}
    assert pack.makes() == ("Tarvik",)
    assert [vehicle.id for vehicle in pack.vehicles_of("electric")] == ["lark"]
    assert pack.vehicles_of("petrol") == ()


def test_is_frozen(make_pack: MakePack, trade: Path) -> None:
    pack = load(make_pack(), trade=trade)
    with pytest.raises(dataclasses.FrozenInstanceError):
        pack.root = Path("elsewhere")  # type: ignore[misc]


def test_can_be_the_key_of_a_cache(make_pack: MakePack, trade: Path) -> None:
    pack = load(make_pack(), trade=trade)
    assert {pack: "kept"}[pack] == "kept"


def test_own_trade_part_adds_and_replaces(make_pack: MakePack, trade: Path) -> None:
    own = "- id: {}\n  label: own\n  signal: NOTICE\n  note: Own note.\n  short: Own.\n"
    changes = {
        "trade/hazards.yaml": own.format("acid") + own.format("dust"),
        "trade/words.yaml": "parts:\n  battery: [cell, pot]\n  belt: [strap]\ntypos:\n  batery: batteries\n",
    }
    pack = load(make_pack(changes), trade=trade)
    assert list(pack.hazards) == ["acid", "hydrogen_gas", "dust"]
    assert pack.hazards["acid"].note == "Own note."
    assert pack.words.parts == {"battery": ["batt", "cell", "pot"], "belt": ["strap"]}
    assert pack.words.typos == {"batery": "batteries"}


def test_shop_wording_overrides_key_by_key(make_pack: MakePack, trade: Path) -> None:
    changes = {"shop/wording/phrases.yaml": "thanks: [Ta.]\n", "shop/wording/reply.j2": "own"}
    wording = load(make_pack(changes), trade=trade).wording
    assert wording.phrases == {"thanks": ["Ta."], "sign_off": ["Bye."]}
    assert wording.templates == {"reply": "own"}


def test_a_pack_that_holds_the_shipped_trade_part_reads_it_once(make_pack: MakePack, trade: Path) -> None:
    root = make_pack()
    trade.rename(root / "trade")
    assert load(root, trade=root / "trade").words.parts == {"battery": ["batt", "cell"]}


def test_extends_another_pack(make_pack: MakePack, trade: Path) -> None:
    make_pack(name="base")
    own = {
        "shop/shop.yaml": "name: Branch\nmail: b@works.example\nextends: ../base\n",
        "shop/answers/flat.md": "---\nid: flat\ntitle: Ours\nquestion: Why?\n---\nOurs.\n",
    }
    pack = load(write(trade.parent / "branch", own), trade=trade)
    assert pack.shop.name == "Branch"
    assert pack.answer("flat").title == "Ours"
    assert [vehicle.id for vehicle in pack.vehicles] == ["lark"]


def test_digest_follows_the_content_alone(make_pack: MakePack, trade: Path) -> None:
    first, again = load(make_pack(), trade=trade), load(make_pack(name="copy"), trade=trade)
    changed = load(make_pack({"shop/wording/thanks.j2": "x"}, name="third"), trade=trade)
    assert first.digest == again.digest != changed.digest


@pytest.mark.parametrize(
    "text",
    [
        pytest.param("\ufeffname: A\nmail: a@b.example\n", id="byte-order-mark"),
        pytest.param("name: A\r\nmail: a@b.example\r\n", id="windows-line-ends"),
        pytest.param("name: A\nmail: a@b.example\nphone:\nspelling:\n", id="empty-values-are-not-given"),
    ],
)
def test_reads_files_as_editors_leave_them(make_pack: MakePack, trade: Path, text: str) -> None:
    shop = load(make_pack({"shop/shop.yaml": text}), trade=trade).shop
    assert (shop.name, shop.mail, shop.spelling) == ("A", "a@b.example", "british")


def test_an_unsafe_pack_is_refused(make_pack: MakePack, trade: Path) -> None:
    answer = "---\nid: flat\ntitle: T\nquestion: Q\nhazards: [acd]\n---\nDo it.\n"
    with pytest.raises(PackError, match="there is no 'acd' among the hazards"):
        load(make_pack({"shop/answers/flat.md": answer}), trade=trade)


def test_a_folder_without_a_shop_says_what_to_do(tmp_path: Path, trade: Path) -> None:
    with pytest.raises(PackError, match="triage pack new"):
        load(tmp_path, trade=trade)


def test_a_trade_part_can_be_named(make_pack: MakePack, trade: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TRIAGE_TRADE", str(trade))
    assert "acid" in load(make_pack()).hazards
