"""Who does the reading: processes of this machine, or the workers of a Dask cluster."""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
from collections.abc import Iterator
from concurrent.futures import Executor, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from multiprocessing.connection import wait

from triage.unusable import Unusable

PATIENCE = 10.0  # seconds for a scheduler to answer
RETRIES = 3  # workers a part may lose before the batch gives up on it
_ENDED = (
    "A process that reads was ended from outside, or memory ran out. What was finished is kept: run the same command "
    "again, perhaps with fewer --workers."
)


@contextmanager
def processes(count: int) -> Iterator[Executor]:
    """So many processes of this machine, each with the models loaded once; they end with this one, however it ends."""
    context = multiprocessing.get_context("spawn")  # a fork would copy locks that the models' threads hold
    pool = ProcessPoolExecutor(count, context, initializer=_begin)
    try:
        yield pool
    except BrokenProcessPool as error:
        raise Unusable(_ENDED) from error
    finally:
        pool.shutdown(wait=False, cancel_futures=True)
        for process in multiprocessing.active_children():  # half a part is worth nothing: do not wait for it
            process.terminate()


def _begin() -> None:
    """Leave Ctrl-C to the parent, and do not outlive it when it is killed."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    parent = multiprocessing.parent_process()
    assert parent is not None
    wait([parent.sentinel])
    os._exit(1)


@contextmanager
def cluster(address: str) -> Iterator[tuple[Executor, int]]:
    """The workers of the cluster whose scheduler is at `address` (tcp://host:8786), and how many they are.

    A worker that is lost while it reads costs time only: its part is read by another. Raises Unusable.
    """
    try:
        from distributed import Client, KilledWorker
    except ImportError as error:
        raise Unusable("Reading on several machines needs Dask: pip install 'cart-triage[cluster]'") from error
    try:
        client = Client(address, timeout=PATIENCE)
    except OSError as error:
        raise Unusable(f"No Dask scheduler answers at {address} ({error}). Start one: dask scheduler") from error
    with client:
        workers = len(client.scheduler_info(n_workers=-1)["workers"])
        if not workers:
            raise Unusable(f"The cluster at {address} has no workers. Start some: dask worker {address} --nthreads 1")
        try:
            yield client.get_executor(retries=RETRIES), workers
        except KilledWorker as error:
            raise Unusable(_ENDED) from error
