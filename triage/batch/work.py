"""What a worker does: open the pack once in its process, read a part, and give the lines back. It writes nothing."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from threading import Lock
from typing import Any

from triage import __version__
from triage.batch.ledger import Terms
from triage.batch.plan import Part, PartRead
from triage.contract import reading_to_json
from triage.desk import prepared
from triage.engine import open_engine
from triage.model import Message, Question, Rejected
from triage.pipeline import Stages, read
from triage.unusable import Unusable

_one_at_a_time = Lock()  # the models read one question at a time, also where a worker has several threads


@dataclass(frozen=True, slots=True)
class Job:
    """What a worker must know besides the part."""

    root: Path  # of the pack, at this place on every machine
    encoder: str
    terms: Terms  # which must hold on every machine


def terms_of(stages: Stages, part: int, drafts: bool) -> Terms:
    """What the readings hang on."""
    ranker = hashlib.sha256(repr(stages.ranker).encode()).hexdigest()
    return Terms(stages.pack.digest, stages.encoder.tag, ranker, __version__, part, drafts)


def read_part(part: Part, job: Job) -> PartRead:
    """Read every question of the part by itself. The same part and pack give the same lines, on any machine.

    Raises Unusable where this machine would read otherwise than the batch was begun.
    """
    with _one_at_a_time:
        stages = _engine(job.root, job.encoder)
        if terms_of(stages, job.terms.part, job.terms.drafts) != job.terms:
            raise Unusable(
                f"{job.root}: a worker has another pack, encoder or version of the program. Make them alike."
            )
        lines = [_line(item, stages, job.terms.drafts) for item in part.arrived]
    return PartRead(
        "".join(json.dumps(line, ensure_ascii=False) + "\n" for line in lines),
        len(lines),
        sum(len(line.get("readings", ())) for line in lines),
        sum("set_aside" in line for line in lines),
    )


@cache
def _engine(root: Path, encoder: str) -> Stages:
    return open_engine(root, encoder=encoder)


def _line(item: Message | Rejected, stages: Stages, drafts: bool) -> dict[str, Any]:
    if isinstance(item, Rejected):
        return {"set_aside": item.reason, "source": item.source}
    item, questions = prepared(item, stages.pack)
    assert isinstance(item, Message)
    return {
        "message": item.id,
        "channel": item.channel,
        "sent": item.sent.isoformat() if item.sent else None,
        "subject": item.subject,
        "automatic": item.automatic,
        "readings": list(_readings(questions, stages, drafts)),
    }


def _readings(questions: Sequence[Question], stages: Stages, drafts: bool) -> Iterator[dict[str, object]]:
    """Without the milliseconds, which differ from run to run."""
    left_out = {"timing_ms"} if drafts else {"timing_ms", "draft"}
    for question in questions:
        record = reading_to_json(read(question, stages))
        yield {"text": question.text, **{key: value for key, value in record.items() if key not in left_out}}
