"""The shop's own mailbox: mail taken in, drafts laid ready, what was sent recognised. Nothing is ever sent."""

from triage.mailbox.account import Account, ExportFolder, Place, from_text, to_text
from triage.mailbox.problems import Broken, MailboxError, Refused

__all__ = ["Account", "Broken", "ExportFolder", "MailboxError", "Place", "Refused", "from_text", "to_text"]
