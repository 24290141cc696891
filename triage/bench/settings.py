"""What the workbench is started with."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

LOOPBACK = frozenset({"127.0.0.1", "::1", "localhost"})


@dataclass(frozen=True, slots=True)
class Settings:
    """Where the queue and the knowledge lie, where it listens, and who sits at it when nobody signs in."""

    store: Path
    pack: Path
    host: str = "127.0.0.1"
    port: int = 0  # 0: any free one
    host_names: tuple[str, ...] = ()  # further names under which it may be reached
    encoder: str = ""
    person: str = "somebody"  # who acts where no sign-in is asked for
    read_new: bool = True  # read what arrives while it runs

    @property
    def only_here(self) -> bool:
        """True when only this machine can reach it."""
        return self.host in LOOPBACK
