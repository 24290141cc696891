"""The same batch on a Dask cluster of worker processes, one of which is killed half-way."""

from __future__ import annotations

import os
import signal
import sys
import time
from collections.abc import Iterator
from functools import partial
from pathlib import Path

import pytest

from triage.batch import pool
from triage.batch.ledger import Ledger
from triage.batch.plan import Part, PartRead
from triage.batch.run import run
from triage.unusable import Unusable

from .toy import TERMS, mails, parts, read_ids, toy_read

distributed = pytest.importorskip("distributed", reason="needs the extra 'cluster'")
TESTS = str(Path(__file__).parents[1])
COUNT = 300


@pytest.fixture(scope="module")
def scheduler(tmp_path_factory: pytest.TempPathFactory) -> Iterator[object]:
    """A scheduler and three worker processes of this machine."""
    sys.path.insert(0, TESTS)
    os.environ["PYTHONPATH"] = os.pathsep.join([TESTS, str(Path(TESTS).parent)])
    made = distributed.LocalCluster(
        n_workers=3,
        threads_per_worker=1,
        processes=True,
        dashboard_address=None,
        local_directory=str(tmp_path_factory.mktemp("dask")),
        silence_logs=50,
    )
    yield made
    made.close()


def slow_read(part: Part, trace: Path) -> PartRead:
    """Leaves a trace of the process that read it; slow enough that a kill finds every worker at work."""
    time.sleep(0.1)
    (trace / f"{part.number}-{os.getpid()}").touch()
    return toy_read(part)


def test_a_worker_killed_half_way_costs_time_and_no_message(scheduler, tmp_path: Path) -> None:
    trace, to = tmp_path / "trace", tmp_path / "to"
    trace.mkdir()
    to.mkdir()
    reads = partial(slow_read, trace=trace)
    with pool.cluster(scheduler.scheduler_address) as (executor, workers):
        assert workers == 3
        for number, _ in enumerate(run(parts(COUNT), reads, to, Ledger(to, TERMS), executor, 2 * workers)):
            if number == 6:
                killed = _reader(sorted(trace.iterdir())[-1])
                os.kill(killed, signal.SIGKILL)
    assert read_ids(to) == [mail.id for mail in mails(COUNT)]
    readers = {_reader(file) for file in trace.iterdir()}
    assert killed in readers and len(readers) >= 3


def _reader(trace: Path) -> int:
    return int(trace.name.partition("-")[2])


def test_no_scheduler_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pool, "PATIENCE", 0.5)
    with (
        pytest.raises(Unusable, match=r"No Dask scheduler answers at tcp://127\.0\.0\.1:9"),
        pool.cluster("tcp://127.0.0.1:9"),
    ):
        pass
