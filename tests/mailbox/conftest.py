"""A real mail server, a store, and the demo pack with a toy encoder; all of it on this machine only."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from letters import letter
from mail_server import PASSWORD, Dovecot, program
from shop_mailbox import PASSWORD_ENV, Clock, Program, account_at

from triage.engine import assemble
from triage.mailbox import Account
from triage.mailbox.drafts import Drafts
from triage.mailbox.round import BY, Reading, Round, full_round
from triage.mailbox.secret import password_of
from triage.mailbox.server import Server
from triage.matching.encode import encoder_for
from triage.pack import load, scaffold
from triage.pipeline import Stages
from triage.store import Store

KNOWLEDGE = Path(__file__).parents[2] / "knowledge"


@pytest.fixture(scope="session")
def server_root() -> Iterator[Path]:
    """A folder that the server's own users may enter: pytest's are for one user only."""
    with TemporaryDirectory(prefix="dovecot-") as folder:
        Path(folder).chmod(0o755)
        yield Path(folder)


@pytest.fixture(scope="session")
def running(server_root: Path) -> Iterator[Dovecot]:
    """One server for all tests; each test finds its folders empty."""
    if program() is None:
        pytest.skip("Dovecot is not installed: apt-get install dovecot-imapd")
    server = Dovecot(server_root / "server")
    server.start()
    yield server
    server.clear()


@pytest.fixture
def dovecot(running: Dovecot, monkeypatch: pytest.MonkeyPatch) -> Dovecot:
    monkeypatch.setenv(PASSWORD_ENV, PASSWORD)
    running.empty()
    return running


@pytest.fixture
def account(dovecot: Dovecot) -> Account:
    return account_at(dovecot)


@pytest.fixture
def person(dovecot: Dovecot) -> Iterator[Program]:
    program = Program(dovecot)
    yield program
    program.imap.shutdown()


@pytest.fixture(scope="session")
def demo(pytestconfig: pytest.Config) -> Stages:
    """The demo shop with the encoder that comes along; its vectors are kept between runs."""
    assert pytestconfig.cache is not None
    given = os.environ.get("TRIAGE_CACHE")
    folder = Path(given) if given else pytestconfig.cache.mkdir("triage-vectors")
    return assemble(load(KNOWLEDGE), encoder_for(""), folder)


@pytest.fixture
def reading(demo: Stages) -> Reading:
    return Reading(demo)


@pytest.fixture(scope="session")
def small_shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A pack with one vehicle and one answer, for what does not hang on the answers."""
    folder = tmp_path_factory.mktemp("packs") / "small"
    scaffold(folder)
    return folder


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def store(tmp_path: Path, clock: Clock) -> Iterator[Store]:
    with Store.open(tmp_path / "queue.db", now=clock) as opened:
        yield opened


@pytest.fixture
def round_of(store: Store, reading: Reading, clock: Clock) -> Callable[[Account], Round]:
    """One round over a connection of its own, as each `triage mailbox pull` makes."""

    def once(account: Account) -> Round:
        with Server.connected(account, password_of(account)) as server:
            drafts = Drafts(store, reading.stages.pack.shop, clock, by=BY)
            return full_round(server, store, reading, drafts, clock())

    return once


@pytest.fixture
def one_ready(dovecot: Dovecot, account: Account, round_of: Callable[[Account], Round]) -> Round:
    """A question taken in, read, and its draft laid."""
    dovecot.deliver([letter(1)])
    return round_of(account)
