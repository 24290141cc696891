"""What goes wrong with servers and networks: said in plain words, nothing lost, nothing doubled."""

from __future__ import annotations

import contextlib
import logging
from dataclasses import replace

import pytest
from cut_line import line_to
from letters import letter, many
from mail_server import PASSWORD, Dovecot, free_port
from shop_mailbox import PASSWORD_ENV, account_at

from triage.desk import take_in
from triage.intake import parse_message
from triage.mailbox import Broken, MailboxError, Refused
from triage.mailbox.account import Account
from triage.mailbox.drafts import Drafts
from triage.mailbox.patience import Patience
from triage.mailbox.pulling import pull
from triage.mailbox.round import alone
from triage.mailbox.secret import password_of
from triage.mailbox.server import Server
from triage.model import Draft, Sentence
from triage.pack import load

QUICK = Patience(first=0.01, longest=0.02, after_refusal=0.01)


def log_in(account):
    with Server.connected(account, password_of(account)) as server:
        return server.folders()


def ids(store):
    return sorted(message.id for thread in store.each_thread() for message in thread.messages)


def test_a_wrong_password_is_said_once_and_never_repeated_in_words(dovecot, account, monkeypatch, caplog):
    monkeypatch.setenv(PASSWORD_ENV, "not the right one")
    with caplog.at_level(logging.DEBUG), pytest.raises(Refused) as refused:
        log_in(account)
    assert "name or password is not right" in str(refused.value)
    assert "not the right one" not in f"{refused.value!r} {caplog.text}"


@pytest.mark.parametrize("password", ["simple", 'with "quotes" \\ and spaces', "schlüssel ключ", "{5}"])
def test_any_password_works_and_none_is_logged(dovecot, account, monkeypatch, caplog, password):
    """A password of unusual characters travels as a literal (RFC 3501 4.3), which the library would log."""
    dovecot.set_password(password)
    dovecot.restart()
    monkeypatch.setenv(PASSWORD_ENV, password)
    try:
        with caplog.at_level(logging.DEBUG):
            assert "INBOX" in log_in(account)
        assert password not in caplog.text
    finally:
        dovecot.set_password(PASSWORD)
        dovecot.restart()


def test_no_password_at_all_is_said(account, monkeypatch):
    monkeypatch.delenv(PASSWORD_ENV)
    with pytest.raises(Refused, match=f"environment variable {PASSWORD_ENV} is not set"):
        log_in(account)


@pytest.fixture
def expired(server_root, monkeypatch):
    monkeypatch.setenv(PASSWORD_ENV, PASSWORD)
    server = Dovecot(server_root / "expired", expired=True)
    server.start()
    yield server
    server.clear()


def test_an_expired_certificate_is_refused_before_anything_is_sent(expired):
    with pytest.raises(Refused, match=r"certificate is not trusted .*expired"):
        log_in(account_at(expired))
    assert "Login:" not in (expired.root / "dovecot.log").read_text()


def test_a_certificate_of_nobody_known_is_refused(account):
    with pytest.raises(Refused, match=r"not trusted .*--ca-file"):
        log_in(replace(account, ca_file=""))


def test_a_certificate_for_another_name_is_refused(account):
    with pytest.raises(Refused, match="not trusted"):
        log_in(replace(account, host="127.0.0.1"))


@pytest.mark.parametrize(
    ("host", "said"),
    [("localhost", "nothing answers at that port"), ("no-such-server.invalid", "no server of that name")],
)
def test_a_server_that_is_not_there_is_said(account, host, said):
    with pytest.raises(Broken, match=said):
        log_in(replace(account, host=host, port=free_port()))


def test_a_folder_that_is_not_there_is_said(account):
    with Server.connected(account, PASSWORD) as server, pytest.raises(MailboxError, match="refused what was asked"):
        server.select("Nowhere")


@pytest.fixture
def pulling(store, small_shop, clock):
    pack = load(small_shop)
    return lambda account, reading=None: pull(account, store, pack, reading, clock, QUICK)


@pytest.mark.parametrize("cut", [200, 2500, 9000, 20_000, 40_000])
def test_a_line_cut_while_mail_is_fetched_loses_and_doubles_nothing(dovecot, store, pulling, cut):
    """Cut after so many bytes from the server, twice; the same pull then goes on."""
    dovecot.deliver(many(250))
    with line_to(dovecot.port) as line:
        line.down_limits = [cut, cut]
        done = pulling(replace(account_at(dovecot), port=line.port))
        assert line.made == 3
    assert ids(store) == sorted(f"m{n}@mail.example" for n in range(250))
    assert done.taken_in.rejected == 0


def test_a_line_cut_again_and_again_ends_in_plain_words(dovecot, pulling):
    with line_to(dovecot.port) as line:
        line.down_limits = [100] * 9
        with pytest.raises(Broken):
            pulling(replace(account_at(dovecot), port=line.port))


@pytest.fixture
def laying(store, small_shop, clock):
    """Lay one draft of known length, over whatever line the account names."""
    pack = load(small_shop)
    take_in([parse_message(letter(1))], store, pack)
    words = " ".join(f"word{n}" for n in range(500))
    store.save_draft(1, Draft("Re: Cart clicks", (Sentence(words, "wording:test"),)), by="test")

    def once(account):
        with Server.connected(account, password_of(account)) as server:
            Drafts(store, pack.shop, clock, by="test").settle(server)

    return once


@pytest.mark.parametrize("cut", range(1000, 5400, 400))
def test_a_line_cut_while_a_draft_is_laid_doubles_no_draft(dovecot, account, laying, person, cut):
    """Cut after so many bytes to the server: before the draft, and within it."""
    with line_to(dovecot.port) as line:
        line.up_limits = [cut]
        with pytest.raises(Broken):
            laying(replace(account, port=line.port))
    assert person.mails("Drafts") == {}
    laying(account)
    assert len(person.mails("Drafts")) == 1


@pytest.mark.parametrize("cut", range(3000, 3400, 25))
def test_a_line_cut_before_the_server_could_say_that_the_draft_lies_there(dovecot, account, laying, person, cut):
    """Cut after so many bytes from the server: what it has taken, and could not confirm, is found the next time."""
    with line_to(dovecot.port) as line:
        line.down_limits = [cut]
        with contextlib.suppress(Broken):
            laying(replace(account, port=line.port))
    laying(account)
    laying(account)
    assert len(person.mails("Drafts")) == 1


def test_one_program_at_a_time(store, account):
    with (
        alone(store.path, account.name),
        pytest.raises(MailboxError, match="at work on mailbox shop"),
        alone(store.path, account.name),
    ):
        pass
    with alone(store.path, account.name):  # the first let go of it
        pass


def test_waits_grow_and_end_and_begin_anew():
    patience = Patience(first=1, longest=60)
    waits = [patience.next_wait() for _ in range(12)]
    assert all(
        0.75 * usual <= wait <= usual for wait, usual in zip(waits, [1, 2, 4, 8, 16, 32, *[60] * 6], strict=True)
    )
    patience.reset()
    assert patience.next_wait() <= 1
    assert patience.next_wait(refused=True) >= 450


def test_what_is_kept_of_an_account_holds_no_password():
    from triage.mailbox import from_text, to_text

    account = Account("shop", "mail.example", "ida", folders=("INBOX", "Büro/Fragen"), password_env="PW")
    assert from_text(to_text(account)) == account
    assert not any("password" in name and name != "password_env" for name in Account.__dataclass_fields__)
