"""The half year week by week: what is counted, and the same as a table and as JSON."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass

from eval.half_year.shop import Served


@dataclass(frozen=True, slots=True)
class Caught:
    """Contradictions: planted so far, and of those looked at for proposals how many were pointed out."""

    planted: int = 0
    pointed_out: int = 0
    false: int = 0  # proposals said to contradict where nothing wrong was said

    @property
    def recall(self) -> float | None:
        """Share of the planted that were pointed out."""
        return self.pointed_out / self.planted if self.planted else None

    @property
    def precision(self) -> float | None:
        """Share of what was pointed out that was planted."""
        total = self.pointed_out + self.false
        return self.pointed_out / total if total else None


@dataclass(frozen=True, slots=True)
class Week:
    """One week; shares are of the questions that have an answer in the trade."""

    week: int  # 1 for the first
    asked: int
    served: float  # the draft carried the right answer
    first: float  # the right answer was the likeliest, sure enough or not
    misled: float  # the draft carried a wrong one
    missing_served: float | None  # of the matters missing at the start
    edits: float | None  # sentences changed, a draft that carried an answer
    minutes: float  # staff time a question
    base: int  # answers
    found: int  # of the thirty missing matters, those the base now answers
    proposals: int  # made this week
    taken: int
    refused: int
    waiting: int
    caught: Caught  # to date


def counted(
    number: int, served: Sequence[Served], missing: Iterable[str], base: int, found: int, caught: Caught,
    editor: Mapping[str, int],
) -> Week:  # fmt: skip
    """A week's figures."""
    answerable = [one for one in served if one.asked.answer]
    lacking = [one for one in answerable if one.asked.answer in set(missing)]
    drafts = [one for one in answerable if one.carried]
    return Week(
        week=number,
        asked=len(served),
        served=_share(one.right for one in answerable) or 0.0,
        first=_share(one.first for one in answerable) or 0.0,
        misled=_share(bool(one.carried) and not one.right for one in answerable) or 0.0,
        missing_served=_share(one.right for one in lacking),
        edits=sum(one.edits for one in drafts) / len(drafts) if drafts else None,
        minutes=sum(one.minutes for one in served) / max(1, len(served)),
        base=base,
        found=found,
        proposals=editor.get("made", 0),
        taken=editor.get("taken", 0),
        refused=editor.get("refused", 0),
        waiting=editor.get("waiting", 0),
        caught=caught,
    )


def _share(marks: Iterable[bool]) -> float | None:
    every = list(marks)
    return sum(every) / len(every) if every else None


def table(weeks: Sequence[Week]) -> str:
    """The weeks as a Markdown table."""
    head = (
        "| week | asked | right draft | right first | wrong draft | missing matters: right draft | edits a draft "
        "| minutes a question | answers | matters found | planted | pointed out | false |\n"
    )
    return head + "|---" * 13 + "|\n" + "\n".join(map(_line, weeks)) + "\n"


def _line(week: Week) -> str:
    shares = [f"{share:.0%}" for share in (week.served, week.first, week.misled, week.missing_served or 0.0)]
    rest = [f"{week.edits or 0.0:.1f}", f"{week.minutes:.1f}", week.base, week.found]
    caught = [week.caught.planted, week.caught.pointed_out, week.caught.false]
    return "| " + " | ".join(map(str, [week.week, week.asked, *shares, *rest, *caught])) + " |"


def plain(weeks: Sequence[Week]) -> list[dict[str, object]]:
    """The weeks as JSON values."""
    return [asdict(week) for week in weeks]
