"""The queue: schema, migrations and history in one SQLite file, behind the class Store."""

from triage.store.copying import Copied, back_up, looked_through, put_back
from triage.store.errors import MoveRefused, NotFound, StoreBusy, StoreError, StoreFull
from triage.store.exporting import export_lines
from triage.store.forgetting import Forgotten
from triage.store.mailboxes import FolderMark, LaidDraft, Mailboxes, ReadyThread, Whose
from triage.store.programmes import Aired, Programmes, Wished
from triage.store.proposals import Proposals
from triage.store.staff import Member, Role, Staff
from triage.store.states import EVERY, MOVES, OPEN, ThreadState
from triage.store.store import Store
from triage.store.together import Claim, DraftMoved, RepliedMeanwhile, Together
from triage.store.values import (
    FOUND_MARKS,
    NO_DANGER,
    UNREAD,
    Arrival,
    DraftVersion,
    Filters,
    HistoryEntry,
    Prior,
    QueueRow,
    Reply,
    Same,
    SavedReading,
    SetAsideMail,
    Summary,
    TakenIn,
    Thread,
    What,
)

__all__ = [
    "EVERY",
    "FOUND_MARKS",
    "MOVES",
    "NO_DANGER",
    "OPEN",
    "UNREAD",
    "Aired",
    "Arrival",
    "Claim",
    "Copied",
    "DraftMoved",
    "DraftVersion",
    "Filters",
    "FolderMark",
    "Forgotten",
    "HistoryEntry",
    "LaidDraft",
    "Mailboxes",
    "Member",
    "MoveRefused",
    "NotFound",
    "Prior",
    "Programmes",
    "Proposals",
    "QueueRow",
    "ReadyThread",
    "RepliedMeanwhile",
    "Reply",
    "Role",
    "Same",
    "SavedReading",
    "SetAsideMail",
    "Staff",
    "Store",
    "StoreBusy",
    "StoreError",
    "StoreFull",
    "Summary",
    "TakenIn",
    "Thread",
    "ThreadState",
    "Together",
    "What",
    "Whose",
    "Wished",
    "back_up",
    "export_lines",
    "looked_through",
    "put_back",
]
