"""Run a measurement in a process of its own, with a limit of time, and say plainly when it cannot be done."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import time
from collections.abc import Mapping, Sequence
from typing import Any

Measured = Mapping[str, Any]


def run(module: str, arguments: Sequence[str], *, python: str = sys.executable, seconds: float = 300) -> Measured:
    """The JSON a module prints; {"not_done": why} when it fails or takes too long."""
    command = [python, "-m", module, *arguments]
    environment = {**os.environ, "OMP_NUM_THREADS": "1", "TOKENIZERS_PARALLELISM": "false"}
    try:
        done = subprocess.run(command, capture_output=True, text=True, timeout=seconds, env=environment, check=False)
    except subprocess.TimeoutExpired:
        return {"not_done": f"not done in {seconds:.0f} s"}
    if done.returncode:
        last = (done.stderr.strip().splitlines() or ["no word"])[-1]
        return {"not_done": "out of memory" if done.returncode == -9 else last}
    found: Measured = json.loads(done.stdout.strip().splitlines()[-1])
    return found


def machine() -> dict[str, Any]:
    """Where and when this was measured, and how busy the machine was besides."""
    import platform

    return {
        "date": time.strftime("%Y-%m-%d %H:%M"), "processor": _processor(), "cores": os.cpu_count(),
        "memory_gib": round(os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES") / 2**30, 1),
        "python": platform.python_version(), "load": [round(value, 1) for value in os.getloadavg()],
    }  # fmt: skip


def free_memory() -> float:
    """GiB that may be used without pushing others out."""
    with open("/proc/meminfo", encoding="utf-8") as lines:
        return next(int(line.split()[1]) for line in lines if line.startswith("MemAvailable")) / 2**20


def _processor() -> str:
    try:
        with open("/proc/cpuinfo", encoding="utf-8") as lines:
            return next(line.partition(":")[2].strip() for line in lines if line.startswith("model name"))
    except (OSError, StopIteration):
        return "unknown"
