"""A connection to the mail server: the few things asked of it, typed, and every failure in plain words.

RFC 3501 / 9051 (IMAP), 2177 (IDLE), 4315 (UIDPLUS), 6154 (which folder holds drafts and sent mail). Messages are only
ever fetched with BODY.PEEK, so that reading sets no flag.
"""

from __future__ import annotations

import logging
import ssl
import time
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from typing import Any

from imapclient import IMAPClient, SocketTimeout
from imapclient.exceptions import IMAPClientAbortError, IMAPClientError, LoginError
from imapclient.imapclient import DRAFTS, SEEN, SENT

from triage.mailbox.account import Account
from triage.mailbox.problems import Broken, MailboxError, in_plain_words

CONNECT_SECONDS, ANSWER_SECONDS = 20, 120
_DRAFT, _DELETED = b"\\Draft", b"\\Deleted"
_DEAD = 3  # times that IDLE wakes with nothing said, after which the connection is taken for lost
_AT_ONCE = 1000  # messages named in one command; servers bound the length of a line

# The library's debug log shows what is sent, a password of unusual characters too.
logging.getLogger("imapclient").setLevel(logging.WARNING)


@dataclass(frozen=True, slots=True)
class Selected:
    """A folder as the server describes it when it is opened."""

    name: str
    uidvalidity: int
    uid_next: int  # 0 where the server does not tell
    messages: int


class Server:
    """One connection, logged in. Every method raises MailboxError, of the kind Broken when the connection is lost."""

    def __init__(self, client: Any, account: Account) -> None:
        self._client = client
        self.account = account

    @classmethod
    @contextmanager
    def connected(cls, account: Account, password: str) -> Iterator[Server]:
        """Connect over TLS with the certificate verified, log in, and hang up at the end."""
        with in_plain_words(account):
            context = ssl.create_default_context(cafile=account.ca_file or None)
            timeout = SocketTimeout(connect=CONNECT_SECONDS, read=ANSWER_SECONDS)
            client = IMAPClient(account.host, port=account.port, ssl_context=context, timeout=timeout)
        with client:
            with in_plain_words(account):
                _log_in(client, account.user, password)
            yield cls(client, account)

    def can(self, capability: str) -> bool:
        """True when the server says it can: "IDLE", "UIDPLUS"."""
        with in_plain_words(self.account):
            return bool(self._client.has_capability(capability))

    def tls(self) -> str:
        """The version of TLS in use, and its cipher."""
        sock = self._client.socket()
        return f"{sock.version()}, {sock.cipher()[0]}"

    def folders(self) -> list[str]:
        """Names of all folders."""
        with in_plain_words(self.account):
            return [str(name) for _, _, name in self._client.list_folders()]

    def special_folders(self) -> tuple[str, str]:
        """The folders for drafts and for sent mail, by what the server marks them as, else by usual names."""
        with in_plain_words(self.account):
            found = (self._client.find_special_folder(DRAFTS), self._client.find_special_folder(SENT))
        return str(found[0] or ""), str(found[1] or "")

    def select(self, folder: str, *, writable: bool = False) -> Selected:
        """Open a folder; unless `writable` the server itself refuses any change to it."""
        with in_plain_words(self.account):
            told = self._client.select_folder(folder, readonly=not writable)
        if b"UIDVALIDITY" not in told:
            raise MailboxError(f"{self.account.host}: folder {folder} has no UIDVALIDITY, so that nothing in it lasts.")
        return Selected(folder, int(told[b"UIDVALIDITY"]), int(told.get(b"UIDNEXT", 0)), int(told[b"EXISTS"]))

    def status(self, folder: str) -> tuple[int, int, int]:
        """UIDVALIDITY, UIDNEXT and number of messages of a folder that is not the open one."""
        with in_plain_words(self.account):
            told = self._client.folder_status(folder, ["UIDVALIDITY", "UIDNEXT", "MESSAGES"])
        return int(told[b"UIDVALIDITY"]), int(told[b"UIDNEXT"]), int(told[b"MESSAGES"])

    def uids_from(self, first: int, since: date | None = None) -> list[int]:
        """UIDs of the open folder from `first` on, in order, that came in on the day `since` or later."""
        wanted: list[object] = ["UID", f"{first}:*"] + (["SINCE", since] if since else [])
        with in_plain_words(self.account):
            found = self._client.search(wanted)
        return sorted(uid for uid in found if uid >= first)  # "n:*" names the last message whatever its UID

    def sizes(self, uids: Sequence[int]) -> dict[int, int]:
        """Bytes of each message that is still there."""
        return {uid: int(told[b"RFC822.SIZE"]) for uid, told in self._fetched(uids, "RFC822.SIZE")}

    def mails(self, uids: Sequence[int]) -> dict[int, bytes]:
        """Whole messages, of those that are still there; no flag is set."""
        found = {uid: told[b"BODY[]"] for uid, told in self._fetched(uids, "BODY.PEEK[]")}
        return {uid: mail for uid, mail in found.items() if mail is not None}  # NIL: deleted meanwhile

    def beginning(self, uid: int, octets: int) -> bytes:
        """The first bytes of a message."""
        found = dict(self._fetched([uid], f"BODY.PEEK[]<0.{octets}>"))
        return bytes(found[uid][b"BODY[]<0>"] or b"") if uid in found else b""

    def headers(self, uids: Sequence[int], names: Sequence[str]) -> dict[int, bytes]:
        """These header fields of each message, as they stand."""
        asked = f"BODY.PEEK[HEADER.FIELDS ({' '.join(names).upper()})]"
        found: dict[int, bytes] = {}
        for uid, told in self._fetched(uids, asked):
            found[uid] = next((text or b"" for item, text in told.items() if item.startswith(b"BODY[HEADER")), b"")
        return found

    def _fetched(self, uids: Sequence[int], asked: str) -> Iterator[tuple[int, Mapping[bytes, Any]]]:
        for start in range(0, len(uids), _AT_ONCE):
            with in_plain_words(self.account):
                found = self._client.fetch(uids[start : start + _AT_ONCE], [asked])
            key = asked.split("[")[0].replace(".PEEK", "").split()[0].encode()
            yield from ((uid, told) for uid, told in found.items() if any(item.startswith(key) for item in told))

    def present(self) -> list[int]:
        """UIDs of the open folder that nobody has marked as deleted."""
        with in_plain_words(self.account):
            return sorted(self._client.search(["UNDELETED"]))

    def set_keyword(self, uids: Sequence[int], keyword: str) -> None:
        """Set a keyword of the shop's own on messages of the open folder; other flags stay."""
        with in_plain_words(self.account):
            self._client.add_flags(uids, [keyword.encode()], silent=True)

    def lay(self, folder: str, mail: bytes) -> None:
        """Put a draft into a folder, marked as read so that no count of unread mail goes up."""
        with in_plain_words(self.account):
            self._client.append(folder, mail, flags=(_DRAFT, SEEN))

    def remove(self, uids: Sequence[int]) -> None:
        """Take these messages, and no others, out of the open folder.

        Without UIDPLUS an EXPUNGE would take whatever else is marked as deleted: then they are left marked, unless
        they are all that is.
        """
        with in_plain_words(self.account):
            self._client.add_flags(uids, [_DELETED], silent=True)
            if self._client.has_capability("UIDPLUS"):
                self._client.uid_expunge(uids)
            elif set(self._client.search(["DELETED"])) == set(uids):
                self._client.expunge()

    def still_there(self) -> None:
        """Ask for a sign of life. Raises Broken."""
        with in_plain_words(self.account):
            self._client.noop()

    @contextmanager
    def idling(self) -> Iterator[Idle]:
        """Let the server tell of news in the open folder until the block ends (RFC 2177)."""
        with in_plain_words(self.account):
            self._client.idle()
        yield Idle(self._client, self.account)
        with in_plain_words(self.account):
            self._client.idle_done()


def _log_in(client: Any, user: str, password: str) -> None:
    """By SASL PLAIN, which takes any characters (RFC 4616), else by LOGIN, which takes ASCII."""
    if client.has_capability("AUTH=PLAIN"):
        client.plain_login(user, password)
        return
    try:
        client.login(user, password)
    except UnicodeEncodeError:
        raise LoginError("this server takes only letters of ASCII in a name or password") from None


class Idle:
    """The time during which the server tells news by itself."""

    def __init__(self, client: Any, account: Account) -> None:
        self._client, self._account = client, account
        self._silent = 0

    def news(self, seconds: float) -> bool:
        """Wait for news; True when there is some. Raises Broken when the server hung up."""
        began = time.monotonic()
        with in_plain_words(self._account):
            told = self._client.idle_check(timeout=seconds)
            self._hung_up(told, time.monotonic() - began < seconds)
        if any(item[0] == b"BYE" for item in told):
            raise Broken(f"{self._account.host}: the server ended the connection.")
        return any(len(item) > 1 and item[1] in (b"EXISTS", b"EXPUNGE", b"FETCH", b"VANISHED") for item in told)

    def _hung_up(self, told: Sequence[object], early: bool) -> None:
        """The library tells an ended connection as no news, again and again, before the time is up."""
        self._silent = self._silent + 1 if early and not told else 0
        if self._silent >= _DEAD:
            raise IMAPClientAbortError("the server hung up")


def refused_only(error: MailboxError) -> bool:
    """True when the server answered and said no: the connection is sound."""
    cause = error.__cause__
    return isinstance(cause, IMAPClientError) and not isinstance(cause, IMAPClientAbortError)
