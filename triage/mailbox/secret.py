"""The password of a mailbox: in the system's keyring or in an environment variable, and nowhere else."""

from __future__ import annotations

import os

from triage.mailbox.account import Account
from triage.mailbox.problems import MailboxError, Refused

SERVICE = "cart-triage"
_NO_KEYRING = (
    "This computer has no keyring to keep a password in ({error}). Put the password into an environment variable and "
    "name it: triage mailbox add --password-env NAME"
)


def password_of(account: Account) -> str:
    """The password. Raises Refused, saying where it was looked for, when there is none."""
    if account.password_env:
        given = os.environ.get(account.password_env, "")
        where = f"the environment variable {account.password_env} is not set"
    else:
        given, where = _from_keyring(account), "the keyring holds none"
    if not given:
        again = f"triage mailbox add --name {account.name}"
        raise Refused(f"No password for {account.user} at {account.host}: {where}. To give one: {again}")
    return given


def _from_keyring(account: Account) -> str:
    import keyring
    from keyring.errors import KeyringError

    try:
        return keyring.get_password(SERVICE, _entry(account)) or ""
    except KeyringError as error:
        raise MailboxError(_NO_KEYRING.format(error=_first_line(error))) from error


def keep_password(account: Account, password: str) -> None:
    """Put the password into the system's keyring. Raises MailboxError where there is none."""
    import keyring
    from keyring.errors import KeyringError

    try:
        keyring.set_password(SERVICE, _entry(account), password)
    except KeyringError as error:
        raise MailboxError(_NO_KEYRING.format(error=_first_line(error))) from error


def drop_password(account: Account) -> None:
    """Take the password out of the keyring; nothing happens where it is not there."""
    import keyring
    from keyring.errors import KeyringError

    try:
        keyring.delete_password(SERVICE, _entry(account))
    except KeyringError:
        return


def _entry(account: Account) -> str:
    return f"{account.user}@{account.host}"


def _first_line(error: Exception) -> str:
    return (str(error).splitlines() or [type(error).__name__])[0]
