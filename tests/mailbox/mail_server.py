"""A Dovecot of the test's own on loopback: its own config, certificate, users and folders."""

from __future__ import annotations

import contextlib
import os
import pwd
import shutil
import signal
import socket
import subprocess
import sys
import time
from base64 import b64encode
from collections.abc import Iterable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

import trustme

USER, PASSWORD = "workshop@harrowlane.example", "sprocket and chain"

_CONFIG = """
base_dir = {run}
state_dir = {run}/state
log_path = {root}/dovecot.log
protocols = imap
listen = 127.0.0.1
ssl = required
ssl_cert = <{root}/server.pem
ssl_key = <{root}/server.key
default_internal_user = {internal}
default_internal_group = {internal_group}
default_login_user = {login}
mail_location = maildir:~/Maildir
mail_fsync = never
first_valid_uid = 1
imap_capability = {capability}
passdb {{
  driver = passwd-file
  args = scheme=PLAIN {root}/users
}}
userdb {{
  driver = static
  args = uid={mail} gid={mail_group} home={root}/mail/%u
}}
service imap-login {{
  chroot =
  inet_listener imap {{
    port = 0
  }}
  inet_listener imaps {{
    port = {port}
    ssl = yes
  }}
}}
service anvil {{
  chroot =
}}
namespace inbox {{
  inbox = yes
  separator = /
  mailbox Drafts {{
    special_use = \\Drafts
    auto = create
  }}
  mailbox Sent {{
    special_use = \\Sent
    auto = create
  }}
}}
"""


def program() -> str | None:
    """Where Debian's package puts the server; None when it is not installed."""
    return shutil.which("dovecot", path=f"{os.environ.get('PATH', '')}:/usr/sbin:/sbin")


@contextlib.contextmanager
def started() -> Iterator[tuple[Dovecot, Path]]:
    """A server that runs, and a folder beside it, for a measuring program. Ends the program where there is none."""
    if program() is None:
        sys.exit("Dovecot is not installed: apt-get install dovecot-imapd")
    with TemporaryDirectory(prefix="dovecot-") as name:
        folder = Path(name)
        folder.chmod(0o755)
        server = Dovecot(folder / "server")
        server.start()
        try:
            yield server, folder
        finally:
            server.clear()


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


class Dovecot:
    """One server; `root` holds everything it writes."""

    def __init__(self, root: Path, *, expired: bool = False, capability: str = "") -> None:
        self.root, self.port = root, free_port()
        self.run = Path(f"/tmp/dovecot-{self.port}")  # its sockets' names must stay short
        self._capability = capability
        self._process: subprocess.Popen[bytes] | None = None
        self.ca_file = root / "ca.pem"
        root.mkdir(parents=True, exist_ok=True)
        root.chmod(0o755)
        self._certificate(expired)
        self.set_password(PASSWORD)
        self._write_config()

    def _certificate(self, expired: bool) -> None:
        authority = trustme.CA()
        authority.cert_pem.write_to_path(self.ca_file)
        end = datetime.now(UTC) - timedelta(days=1)
        span = {"not_before": end - timedelta(days=9), "not_after": end} if expired else {}
        issued = authority.issue_cert("localhost", **span)
        (self.root / "server.pem").write_bytes(b"".join(blob.bytes() for blob in issued.cert_chain_pems))
        issued.private_key_pem.write_to_path(self.root / "server.key")

    def set_password(self, password: str) -> None:
        """Known to the server from its next start."""
        line = f"{USER}:{{PLAIN.b64}}{b64encode(password.encode()).decode()}\n"
        (self.root / "users").write_text(line, encoding="utf-8")

    def _write_config(self) -> None:
        root = os.getuid() == 0
        me = pwd.getpwuid(os.getuid()).pw_name
        mail = pwd.getpwnam("nobody") if root else pwd.getpwuid(os.getuid())
        (self.root / "mail").mkdir(exist_ok=True)
        os.chown(self.root / "mail", mail.pw_uid, mail.pw_gid)
        self.run.mkdir(exist_ok=True)
        text = _CONFIG.format(
            run=self.run,
            root=self.root,
            port=self.port,
            capability=self._capability,
            internal="dovecot" if root else me,
            internal_group="dovecot" if root else me,
            login="dovenull" if root else me,
            mail=mail.pw_uid,
            mail_group=mail.pw_gid,
        )
        (self.root / "dovecot.conf").write_text(text, encoding="utf-8")
        self.mail_owner = (mail.pw_uid, mail.pw_gid)

    def start(self) -> None:
        """Start it, and wait until it answers."""
        server = program()
        assert server is not None
        command = [server, "-F", "-c", str(self.root / "dovecot.conf")]
        quiet = subprocess.DEVNULL
        self._process = subprocess.Popen(command, stdout=quiet, stderr=quiet, start_new_session=True)
        end = time.monotonic() + 20
        while time.monotonic() < end:
            with socket.socket() as probe:
                if probe.connect_ex(("127.0.0.1", self.port)) == 0:
                    return
            time.sleep(0.05)
        log = self.root / "dovecot.log"
        raise AssertionError(f"dovecot does not answer: {log.read_text() if log.exists() else 'no log'}")

    def stop(self) -> None:
        """End it and every connection with it."""
        if self._process is not None:
            self._process.terminate()
            self._process.wait(timeout=20)
            with contextlib.suppress(ProcessLookupError):  # a connection's own process would live on for some seconds
                os.killpg(self._process.pid, signal.SIGKILL)
            self._process = None

    def restart(self) -> None:
        self.stop()
        self.start()

    def clear(self) -> None:
        """Stop it and take away what it left outside its root."""
        self.stop()
        shutil.rmtree(self.run, ignore_errors=True)

    def empty(self) -> None:
        """Take every mail and folder away, as if the account were new; folders count anew after that."""
        if self._process is not None:
            subprocess.run([self._doveadm(), "-c", str(self.root / "dovecot.conf"), "kick", "*"], capture_output=True)
        shutil.rmtree(self.root / "mail" / USER, ignore_errors=True)

    def count_anew(self, folder: str = "") -> None:
        """Give a folder another UIDVALIDITY, as a server does that lost its index or was moved."""
        box = self.root / "mail" / USER / "Maildir"
        box = box / f".{folder}" if folder else box
        for index in (*box.glob("dovecot-uidlist*"), *box.glob("dovecot.index*")):
            index.unlink()

    @staticmethod
    def _doveadm() -> str:
        return shutil.which("doveadm") or "/usr/bin/doveadm"

    def deliver(self, mails: Iterable[bytes], *, user: str = USER, folder: str = "") -> None:
        """Put mails into a folder as its delivery agent would: a file each, in new/ of the Maildir."""
        box = self.root / "mail" / user / "Maildir"
        box = box / f".{folder}" if folder else box
        new = self._made(box)
        stamp = time.time_ns()
        for number, mail in enumerate(mails):
            file = new / f"{stamp + number}.M{number}P1.test"
            file.write_bytes(mail)
            os.chown(file, *self.mail_owner)

    def _made(self, box: Path) -> Path:
        for part in ("cur", "new", "tmp"):
            (box / part).mkdir(parents=True, exist_ok=True)
        for path in (box, *box.iterdir(), *list(box.parents)[: 1 if box.name == "Maildir" else 2]):
            os.chown(path, *self.mail_owner)
        return box / "new"
