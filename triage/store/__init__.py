"""The queue: schema, migrations and history in one SQLite file, behind the class Store."""

from triage.store.errors import MoveRefused, NotFound, StoreBusy, StoreError, StoreFull
from triage.store.exporting import export_lines
from triage.store.states import EVERY, MOVES, OPEN, ThreadState
from triage.store.store import Store
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
    "Arrival",
    "DraftVersion",
    "Filters",
    "HistoryEntry",
    "MoveRefused",
    "NotFound",
    "Prior",
    "QueueRow",
    "Reply",
    "Same",
    "SavedReading",
    "SetAsideMail",
    "Store",
    "StoreBusy",
    "StoreError",
    "StoreFull",
    "Summary",
    "TakenIn",
    "Thread",
    "ThreadState",
    "What",
    "export_lines",
]
