"""What is fed with bytes: each target reads them as one kind of input and checks what must hold for any."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from pathlib import Path
from time import process_time

CORPUS = Path(__file__).parent / "corpus"
NAMES = ("mail", "exports", "facts", "packs", "forms")
SLOWEST = 1.0  # seconds of processor for one input of at most LONGEST bytes
LONGEST = 4096

Target = Callable[[bytes], None]


class Slow(AssertionError):
    """One small input took longer than a second."""


def target(name: str) -> Target:
    """The target of that name; made here, so that nothing of the program is loaded before it is asked for."""
    made: Target = import_module(f"fuzz.{name}").make()
    return made


def fed(one: Target, data: bytes) -> None:
    """Feed one input. Raises whatever went wrong, and Slow."""
    began = process_time()
    one(data)
    took = process_time() - began
    if took > SLOWEST:
        raise Slow(f"{len(data)} bytes took {took:.1f} s")
