"""How fast: the kept figures of the benchmark, with its pictures and the reasons behind them."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any

from eval.benchmark import pictures
from eval.benchmark.fitting import exponent
from eval.benchmark.one import ENCODER, PROGRAM
from eval.benchmark.pool import VECTORS
from eval.everything.writing import Picture, Piece, Section
from eval.tables import NOTHING, number, percent, table

AIM_MS = 40.0  # one question over 100,000 answers
GROWS_FROM = 10_000  # answers from which the growth is fitted: below, the encoder is nearly all of it
READ_CHARACTERS = 20_000  # of a message; the rest is not read
Row = Mapping[str, Any]


def speed(benchmark: Path) -> Section:
    """The benchmark as it was kept; a word where it was never run."""
    if not benchmark.is_file():
        return Section("How fast", ("Not measured yet: run `python -m eval.benchmark`.",))
    kept = json.loads(benchmark.read_text(encoding="utf-8"))
    makers: Mapping[str, Callable[[Any], list[Piece]]] = {
        "ways": _ways,
        "answers": _answers,
        "messages": _messages,
        "text": _text,
    }
    pieces = [piece for name, make in makers.items() if name in kept for piece in make(kept[name]["found"])]
    return Section("How fast", (*pieces, _machines({name: kept[name]["machine"] for name in makers if name in kept})))


_WAYS_HEADER = (
    "way", "right first", "among three", "none fits", "warm, ms", "95th of 100", "cold start, s", "its processor time",
    "peak MiB",
)  # fmt: skip


def _ways(found: Mapping[str, Any]) -> list[Piece]:
    rows: list[Row] = found["rows"]
    named = {row["way"]: row for row in rows if "not_done" not in row}
    pieces: list[Piece] = [
        "Every way alone in a process of its own, on the same questions and answers of the unseen shop. The plain ways "
        "only rank answers; the program also reads facts, conflicts, dangers and causes, asks back, and writes the "
        "draft. Warm times are the processor's, so that other work on the machine does not count. Cold start: from "
        "ordering the process to the first ranking, files already in the disk's memory.",
        Picture("ways", pictures.ways(rows, PROGRAM), "Warm time, cold start and memory of each way"),
        table(
            _WAYS_HEADER,
            [_way(row) for row in rows],
        ),
    ]
    if PROGRAM in named and ENCODER in named:
        pieces += [
            _limit(named[PROGRAM], named[ENCODER], found["stages"]),
            Picture("stages", pictures.stages(found["stages"]), "Time of each stage of a reading"),
        ]
    return pieces


def _way(row: Row) -> list[str]:
    if "not_done" in row:
        return [row["way"], row["not_done"], *[NOTHING] * 7]
    shares = [percent(row.get(key)) for key in ("first", "three")]
    times = [f"{row[key]:.1f}" for key in ("warm_ms", "slow_ms")]
    cold = [f"{row[key]:.2f}" for key in ("cold_s", "cold_cpu_s")]
    return [row["way"], *shares, number(row.get("none")), *times, *cold, f"{row['peak_mib']:.0f}"]


def _limit(program: Row, encoder: Row, stages: Mapping[str, float]) -> str:
    """How near the program is to what its encoder needs alone."""
    times = program["warm_ms"] / encoder["warm_ms"]
    ordered = sorted(stages, key=lambda name: -stages[name])[:4]
    largest = ", ".join(f"{name} {100 * stages[name] / sum(stages.values()):.0f} %" for name in ordered)
    return (
        f"The encoder's own limit: encoding alone what a reading encodes takes {encoder['warm_ms']:.1f} ms, the whole "
        f"reading {program['warm_ms']:.1f} ms, {times:.2f} times that. A message is encoded whole, masked, and in "
        "pieces, as dangers and symptoms are told in passing; texts run one by one, so that a vector never depends on "
        f"the texts beside it. The largest stages: {largest}. Beside the encoder, every piece is compared with all "
        "told examples of symptoms and dangers, every answer is weighed feature by feature, and a draft is written."
    )


def _answers(found: Sequence[Row]) -> list[Piece]:
    done = [row for row in found if "not_done" not in row]
    lines = {way: _line(done, way, "answers", "warm_ms") for way in dict.fromkeys(row["way"] for row in done)}
    sizes = list(dict.fromkeys(row["answers"] for row in found))
    ways = dict.fromkeys(row["way"] for row in found)
    rows = [_grown(way, {row["answers"]: row for row in found if row["way"] == way}, sizes) for way in ways]
    return [
        "### As the answer base grows",
        "Bases are put together from the sentences of real answers. The vectors of made answers are those of their "
        f"sentences, {VECTORS} each, so that none need be encoded. The aim is {AIM_MS:.0f} ms for one question over "
        f"100,000 answers. Exponent: of time over answers, from {GROWS_FROM:,} on.",
        Picture("growth-answers", pictures.growth(lines, "answers", AIM_MS), "Time of a question over growing bases"),
        table(["warm ms at", *(f"{size:,}" for size in sizes), "exponent", "ready, s", "peak MiB, largest"], rows),
    ]


def _line(rows: Sequence[Row], way: str, size: str, key: str) -> tuple[list[float], list[float]]:
    chosen = [row for row in rows if row["way"] == way]
    return [row[size] for row in chosen], [row[key] for row in chosen]


def _grown(way: str, rows: Mapping[float, Row], sizes: Sequence[float]) -> list[str]:
    cells = [_cell(rows.get(size, {"not_done": NOTHING})) for size in sizes]
    done = [row for row in rows.values() if "not_done" not in row]
    large = [row for row in done if row["answers"] >= GROWS_FROM]
    fitted = exponent([row["answers"] for row in large], [row["warm_ms"] for row in large])
    last = done[-1] if done else {"ready_s": 0.0, "peak_mib": 0.0}
    return [way, *cells, number(fitted, 2), f"{last['ready_s']:.0f}", f"{last['peak_mib']:.0f}"]


def _cell(row: Row) -> str:
    return str(row["not_done"]) if "not_done" in row else f"{row['warm_ms']:.1f}"


_STORE = {"list_ms": "the list", "counts_ms": "how many wait", "open_ms": "open a thread", "search_ms": "find by words"}


def _messages(found: Sequence[Row]) -> list[Piece]:
    done = [row for row in found if "not_done" not in row]
    sizes = [row["messages"] for row in done]
    lines = {name: (sizes, [row[key] for row in done]) for key, name in _STORE.items()}
    fits = [number(exponent(sizes, [row[key] for row in done]), 2) for key in _STORE]
    rows = [_store_row(row) for row in found]
    return [
        "### As the store grows",
        "Threads of three messages, all still waiting, which is the worst case. Read from the store itself; a page "
        "of the workbench adds its own few milliseconds.",
        Picture("growth-messages", pictures.growth(lines, "messages"), "Time of four things people do, by messages"),
        table(["messages", *(f"{name}, ms" for name in _STORE.values()), "taken in, a second", "MB"], rows),
        f"Exponents over messages: {', '.join(f'{n} {f}' for n, f in zip(_STORE.values(), fits, strict=True))}.",
    ]


def _store_row(row: Row) -> list[str]:
    if "not_done" in row:
        return [f"{row['messages']:,}", row["not_done"], *[NOTHING] * 5]
    times = [f"{row[key]:.2f}" for key in _STORE]
    return [f"{row['messages']:,}", *times, f"{row['messages'] / row['take_in_s']:.0f}", f"{row['mb']:.0f}"]


def _text(found: Any) -> list[Piece]:
    if not isinstance(found, list):
        return [f"Messages of growing length: {found['not_done']}."]
    sizes, ours = [row["characters"] for row in found], [row["ms"] for row in found]
    encoder = [row["encoder_ms"] for row in found]
    within = [(size, time) for size, time in zip(sizes, ours, strict=True) if size <= READ_CHARACTERS]
    rows = [[f"{r['characters']:,}", f"{r['ms']:.1f}", f"{r['encoder_ms']:.1f}", f"{r['pieces']:.0f}"] for r in found]
    return [
        "### As a message grows",
        f"Of a message longer than {READ_CHARACTERS:,} characters only so many are read, and the draft says so. "
        f"Exponent of time over characters up to there: {number(exponent(*zip(*within, strict=True)), 2)}.",
        Picture(
            "growth-text",
            pictures.growth({PROGRAM: (sizes, ours), ENCODER: (sizes, encoder)}, "characters of a message"),
            "Time of a reading and of its encoder by length of the message",
        ),
        table(["characters", "reading, ms", "encoder alone, ms", "texts encoded"], rows),
    ]


def _machines(found: Mapping[str, Row]) -> str:
    """Where and when each part was measured."""
    told = [
        f"{name}: {m['date']}, {m['processor']}, {m['cores']} cores, {m['memory_gib']} GiB, Python {m['python']}, load "
        f"{m['load'][0]}"
        for name, m in found.items()
    ]
    beside = "Where the load is above 1 other work ran beside it, and what the clock says is too long."
    return f"Measured on: {'; '.join(told)}. {beside}"
