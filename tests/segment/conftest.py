"""The demo pack, and a store of questions read by words alone: quick, no model is run."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from toys import Words

from triage.desk import read_open, take_in
from triage.engine import assemble
from triage.model import Address, Message
from triage.pack import Pack, load
from triage.pipeline import Stages
from triage.segment.asked import Week
from triage.store import Store

KNOWLEDGE = Path(__file__).parents[2] / "knowledge"
START = datetime(2026, 11, 9, 8, 0, tzinfo=UTC)
NOW = START + timedelta(days=16)
THURSDAY = date(2026, 11, 26)

POST = (
    ("Ida Fen", "My 2012 Tarvik Lark, 48 V, clicks but will not move. It is not lifted. What should I check?"),
    ("Bram Oost", "Smoke came from under the seat of my Lark and the charger plug is burnt.\n\nWhat now?"),
    ("Dot Marsh", "Do 205/50-10 tyres rub on a stock 2017 Lark? No lift, no spacers."),
    ("Len Ashby", "Can I go from 36 to 48 volts on my 2009 Ridge? The six 8 V batteries are new."),
    ("Una Vale", "The charger of my 2016 Lark hums but the batteries never fill. Is it the charger?"),
    ("Nell Roe", "2011 Wren petrol: cranks but will not start after winter. Fuel is old. Ring me on 555-0171."),
    ("Gus Penn", "My 2014 Courier has a flat battery each morning. Please don't read this out on the radio."),
    ("Abe Stone", "How do I store my 2015 Ridge with lead batteries over the winter in a barn that freezes?"),
    ("Fay Lund", "Which wheel nuts fit a 2010 Tarvik Lark?"),
    ("Ira Moss", "My 2012 Tarvik Lark, 48 V, clicks but does not move. Solenoid replaced. What else?"),
)


def mail(number: int, who: str, text: str) -> Message:
    """One mail, a day after the one before."""
    return Message(
        id=f"s{number}@mail.example",
        channel="mail",
        sender=Address(f"{who.split()[0].lower()}@mail.example", who),
        subject="a question",
        text=text,
        sent=START + timedelta(days=number),
        raw=text.encode(),
    )


@pytest.fixture(scope="session")
def pack() -> Pack:
    return load(KNOWLEDGE)


@pytest.fixture(scope="session")
def stages(pack: Pack, pytestconfig: pytest.Config) -> Stages:
    assert pytestconfig.cache is not None
    return assemble(pack, Words(), pytestconfig.cache.mkdir("triage-toy"))


@pytest.fixture(scope="session")
def filled(stages: Stages, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A store with the post taken in and read; copied for each test."""
    path = tmp_path_factory.mktemp("segment") / "filled.db"
    with Store.open(path, now=lambda: NOW) as store:
        take_in([mail(n, *one) for n, one in enumerate(POST)], store, stages.pack)
        assert len(list(read_open(store, stages))) == len(POST)
    return path


@pytest.fixture
def queue(filled: Path, tmp_path: Path) -> Path:
    return shutil.copy(filled, tmp_path / "queue.db")


@pytest.fixture
def store(queue: Path) -> Iterator[Store]:
    with Store.open(queue, now=lambda: NOW) as opened:
        yield opened


@pytest.fixture
def week(pack: Pack) -> Week:
    """A week in which words are said as they stand, three a second."""
    from triage.reply.wording import Phrasebook

    return Week(THURSDAY, pack, Phrasebook(pack).say, str, lambda text: len(text.split()) / 3)
