"""The effect of a proposal worked out beside the pages, with how far it has come."""

from __future__ import annotations

import threading
from dataclasses import dataclass

from triage.bench.office import Office
from triage.engine import cache_folder
from triage.growth.effect import Effects, Resolved
from triage.growth.proposal import Proposal
from triage.rereading import QUESTIONS, Rereader, labelled, resolved_threads


@dataclass
class Reread:
    """One proposal's effect: how far, and the outcome when it is there."""

    done: int = 0
    of: int = 0
    effects: Effects | None = None
    trouble: str = ""

    @property
    def over(self) -> bool:
        """True when there is nothing to wait for."""
        return self.effects is not None or bool(self.trouble)

    def step(self, done: int, of: int) -> None:
        """How far it is now."""
        self.done, self.of = done, of


class Rereads:
    """The effects asked for since the workbench started, each worked out once for a proposal and a base."""

    def __init__(self) -> None:
        self._known: dict[str, Reread] = {}
        self._readers: dict[str, Rereader] = {}
        self._lock = threading.Lock()

    def of(self, proposal: Proposal, office: Office) -> Reread:
        """The effect of a proposal as it stands; begins to work it out when nobody has."""
        key = f"{office.stages.pack.digest} {proposal.id} {hash(repr(proposal.after))}"
        with self._lock:
            if key not in self._known:
                self._known[key] = job = Reread()
                threading.Thread(target=self._work, args=(job, proposal, office), daemon=True).start()
            return self._known[key]

    def _work(self, job: Reread, proposal: Proposal, office: Office) -> None:
        try:
            resolved = self._resolved(proposal, office)
            job.of = len(resolved)
            job.effects = self._reader(office).effects(proposal, resolved, job.step, office.reading)
        except Exception as error:  # shown on the page: nobody waits for this thread
            job.trouble = f"It could not be worked out: {error}"

    def _resolved(self, proposal: Proposal, office: Office) -> list[Resolved]:
        with office.store() as store:
            threads = list(resolved_threads(store, office.stages, proposal))
        return [*threads, *labelled(office.settings.pack / QUESTIONS)]

    def _reader(self, office: Office) -> Rereader:
        """One reader a base, so that a question is understood once."""
        digest = office.stages.pack.digest
        with self._lock:
            if digest not in self._readers:
                self._readers = {digest: Rereader(office.stages, cache_folder())}
            return self._readers[digest]
