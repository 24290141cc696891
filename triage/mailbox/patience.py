"""How long to wait after trouble: a little, then each time twice as long, never in step with others."""

from __future__ import annotations

import random
from dataclasses import dataclass, replace


@dataclass(slots=True)
class Patience:
    """Waits for one mailbox. A refused password is tried seldom: servers lock out who knocks too often."""

    first: float = 1.0  # seconds
    longest: float = 300.0
    after_refusal: float = 600.0
    tries: int = 0

    def fresh(self) -> Patience:
        """The same waits, from the beginning."""
        return replace(self, tries=0)

    def next_wait(self, *, refused: bool = False) -> float:
        """Seconds to wait before the next try; up to a quarter is left to chance."""
        wait = self.after_refusal if refused else min(self.first * 2**self.tries, self.longest)
        self.tries = min(self.tries + 1, 30)
        return wait * random.uniform(0.75, 1.0)

    def reset(self) -> None:
        """It went well: begin with short waits again."""
        self.tries = 0
