"""What the answers' pages keep while the workbench runs: effects worked out, and a reader of sentences."""

from __future__ import annotations

import threading
from dataclasses import dataclass, field

from starlette.requests import Request

from triage.bench.answers.rereads import Rereads
from triage.bench.office import Office
from triage.editor_material import reader_of
from triage.growth.statements import Reader


@dataclass
class Memory:
    """One for the app."""

    rereads: Rereads = field(default_factory=Rereads)
    deciding: threading.Lock = field(default_factory=threading.Lock)  # one decision writes the pack's files at a time
    _reader: Reader | None = None

    def reader(self, office: Office) -> Reader:
        """Reads what sentences state; what it read once is kept."""
        if self._reader is None:
            self._reader = reader_of(office.stages)
        return self._reader


_MAKING = threading.Lock()


def memory_of(request: Request) -> Memory:
    """The memory of the app that serves this request, made when first asked for."""
    state = request.app.state
    with _MAKING:
        if not hasattr(state, "answers_memory"):
            state.answers_memory = Memory()
    memory: Memory = state.answers_memory
    return memory
