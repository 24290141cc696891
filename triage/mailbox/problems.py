"""What can go wrong with a mail server, in plain words: what, where, and what to do."""

from __future__ import annotations

import socket
import ssl
from collections.abc import Iterator
from contextlib import contextmanager

from imapclient.exceptions import IMAPClientAbortError, IMAPClientError, LoginError, ProtocolError

from triage.mailbox.account import Account


class MailboxError(Exception):
    """The mailbox cannot do what was asked; the message says why and what to do."""


class Refused(MailboxError):
    """The server's certificate or our password was refused: trying again at once changes nothing."""


class Broken(MailboxError):
    """The server could not be reached, or the connection was lost: worth trying again."""


@contextmanager
def in_plain_words(account: Account) -> Iterator[None]:
    """Turn what the network and the server say into MailboxError and its kinds, naming the server."""
    try:
        yield
    except (ssl.SSLError, LoginError, IMAPClientError, OSError, EOFError) as error:
        raise _translated(error, account) from error


def _translated(error: Exception, account: Account) -> MailboxError:
    server = f"{account.host}:{account.port}"
    if isinstance(error, ssl.SSLCertVerificationError):
        return Refused(
            f"{server}: its certificate is not trusted ({error.verify_message}). Nothing was sent to it. Is the name "
            "right? A server of your own with a certificate of its own is named with --ca-file."
        )
    if isinstance(error, LoginError):
        return _login(error, account, server)
    if isinstance(error, (IMAPClientAbortError, ProtocolError, EOFError, OSError)):
        return Broken(f"{server}: {_network(error)}. Nothing is lost; the next try goes on from there.")
    return MailboxError(f"{server} refused what was asked: {error}")


def _login(error: LoginError, account: Account, server: str) -> MailboxError:
    # RFC 5530: UNAVAILABLE says that the server's own look-up failed, not that the password is wrong; and the library
    # tells a connection lost while logging in as a failed login.
    if "[UNAVAILABLE]" in str(error).upper() or isinstance(error.__context__, IMAPClientAbortError):
        return Broken(f"{server}: cannot log in just now ({error}).")
    return Refused(
        f"{server} does not let {account.user} in: name or password is not right ({error}). Many providers want a "
        f"password made for this one program. To give it anew: triage mailbox add --name {account.name}"
    )


def _network(error: Exception) -> str:
    if isinstance(error, socket.gaierror):
        return "no server of that name is found; is the name right, and the network up"
    if isinstance(error, ConnectionRefusedError):
        return "nothing answers at that port; is the server up, and the port right (993 as a rule)"
    if isinstance(error, TimeoutError):
        return "no answer in time"
    return f"the connection was lost ({str(error) or type(error).__name__})"
