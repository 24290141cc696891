"""From an answered thread to a proposal, through the queue and the pack's files."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from triage.desk import read_open, take_in
from triage.editor import beside, files_of, look, refuse, reword, take
from triage.editor_combine import merge_proposals, merge_with_answer, split
from triage.editor_views import answer_standings, cause_shifts, confirm_cause, open_topics, take_back_cause
from triage.growth.proposal import Kind, Origin, Proposal, State
from triage.model import Address, Draft, Message, Sentence
from triage.pack import load
from triage.pipeline import Stages
from triage.reply.sentences import blocks, sentences
from triage.segment.programme import Candidate, Programme, Slot, Spoken
from triage.segment.programme import Said as AirNote
from triage.store import Store
from triage.unusable import Unusable

TODAY = date(2026, 11, 25)
NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)
WATER = "How and when do I top up the water in my flooded cart batteries? It is a 2012 Tarvik Lark, 48 V."
PLUG = "Which spark plug gap for my 2005 Hollin Tern? It is the petrol one, Joan Pike here, ring 555-0123."
REPLY = """Hello Joan,

Thank you for writing.

Set the spark plug gap on the Tern to 0.7 mm. If the plug is sooty, clean the air filter first.
Your reading of 0.4 mm is far too small.

Kind regards,
Odile"""


def mail(number: int, text: str, name: str = "Joan Pike") -> Message:
    sender = Address(f"asker{number}@post.example", name)
    return Message(f"m{number}@post.example", "mail", sender, f"question {number}", NOW, text)


@pytest.fixture(scope="module")
def read_queue(stages: Stages, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("growth") / "read.db"
    with Store.open(path, now=lambda: NOW) as store:
        take_in(
            [mail(1, PLUG), mail(2, WATER, "Bert Low"), mail(3, PLUG.replace("my", "the"), "Ann Poe")],
            store,
            stages.pack,
        )
        list(read_open(store, stages))
        store.save_draft(thread_of(store, "flooded"), drafted(stages), by="triage")
    return path


def drafted(stages: Stages) -> Draft:
    """The draft that carries the answer on watering, as the program makes it."""
    body = [
        Sentence(f"- {text}" if block.bullet else text, "answer:battery-watering", block.paragraph + 1, block.bullet)
        for block in blocks(stages.pack.answer("battery-watering").text)
        for text in ((block.text,) if block.bullet else sentences(block.text))
    ]
    greeting, sign_off = (
        Sentence("Hello Bert,", "wording:greeting_named"),
        Sentence("Kind regards,", "wording:sign_off", 99),
    )
    return Draft("Re: water", (greeting, *body, sign_off))


@pytest.fixture
def store(read_queue: Path, tmp_path: Path) -> Iterator[Store]:
    shutil.copy(read_queue, tmp_path / "queue.db")
    with Store.open(tmp_path / "queue.db", now=lambda: NOW) as opened:
        yield opened


@pytest.fixture
def own(stages: Stages, shop: Path) -> Stages:
    """The stages with the pack in this test's own folder."""
    return replace(stages, pack=load(shop))


def thread_of(store: Store, words: str) -> int:
    return store.search(words)[0].thread


def proposed(store: Store, stages: Stages, asked: str, reply: str, *, how: str = "mail", outcome: str = "") -> Proposal:
    number = thread_of(store, asked)
    store.record_reply(number, reply, by="Odile", how=how)
    if outcome:
        store.settle(number, by="Odile", outcome=outcome)
    (made,) = look(store, stages, on=TODAY)
    return store.proposals.get(made)


@pytest.mark.parametrize("greeting", ["Hello Joan, ", "Good day, ", "Hi Joan! ", "Dear Mrs Pike,\n", "Thanks, "])
def test_a_greeting_takes_no_sentence_with_it(store: Store, stages: Stages, greeting: str) -> None:
    made = proposed(
        store, stages, "Pike", f"{greeting}the gap on the Tern is 0.7 mm. A sooty plug tells of a rich mixture."
    )
    assert made.after[0].text.startswith("The gap on the Tern is 0.7 mm.")
    assert not {"Joan", "Good", "Pike", "Thanks"} & set(made.after[0].text.split())


def test_a_reply_of_ones_own_becomes_a_general_answer(store: Store, stages: Stages) -> None:
    made = proposed(store, stages, "Pike", REPLY, outcome="it runs")
    (answer,) = made.after
    assert made.kind is Kind.NEW
    assert "0.7 mm" in answer.text
    assert "- If the plug is sooty: clean the air filter first." in answer.text
    assert answer.applies_to.powertrain == "petrol"
    assert answer.applies_to.models == ["Tern"]
    whole = f"{answer.title} {answer.question} {answer.text} {' '.join(answer.variants)}"
    for particular in ("Joan", "Pike", "555", "Odile", "Thank", "regards", "0.4"):
        assert particular not in whole


def test_every_sentence_tells_where_it_was_said(store: Store, stages: Stages) -> None:
    made = proposed(store, stages, "Pike", REPLY)
    for line in made.lines:
        (said,) = line.said
        reply = store.thread(said.thread).replies[int(said.place.split()[1]) - 1]
        assert said.origin is Origin.REPLY
        assert said.span is not None
        assert reply.text[said.span.start : said.span.end] == said.text


def test_what_was_told_by_phone_is_told_as_such(store: Store, stages: Stages) -> None:
    made = proposed(
        store,
        stages,
        "Pike",
        "Told Mrs Pike: the spark plug gap of the Tern is 0.7 mm. Sooty plugs want a new air filter.",
        how="phone",
    )
    assert {said.origin for line in made.lines for said in line.said} == {Origin.PHONE}
    assert "Told" not in made.after[0].text


def test_the_same_matter_of_two_askers_is_one_proposal(store: Store, stages: Stages) -> None:
    first = proposed(store, stages, "Pike", REPLY)
    second = proposed(store, stages, "Poe", REPLY.replace("Joan", "Ann"))
    assert second.id == first.id
    assert (second.askers, len(second.threads)) == (2, 2)


def test_what_did_not_help_is_not_proposed(store: Store, stages: Stages) -> None:
    number = thread_of(store, "Pike")
    store.record_reply(number, REPLY, by="Odile")
    store.settle(number, by="Odile", outcome="it did not help, still the same")
    assert look(store, stages, on=TODAY) == ()


def test_a_draft_sent_as_it_was_brings_nothing_new(store: Store, stages: Stages) -> None:
    number = thread_of(store, "flooded")
    draft = store.thread(number).drafts[-1].draft
    store.record_reply(number, draft.body, by="Odile")
    assert [store.proposals.get(n).kind for n in look(store, stages, on=TODAY)] in ([], [Kind.VARIANT])
    assert look(store, stages, on=TODAY) == ()  # and it is not looked at twice


def edited(store: Store) -> str:
    body = store.thread(thread_of(store, "flooded")).drafts[-1].draft.body
    return body.replace("Kind regards", "If the caps are joined by a hose, lift the whole row at once.\n\nKind regards")


def test_a_sentence_put_into_a_draft_is_a_branch_of_its_answer(store: Store, own: Stages) -> None:
    made = proposed(store, own, "flooded", edited(store))
    assert (made.kind, made.answer) == (Kind.BRANCH, "battery-watering")
    assert [line.text for line in made.lines] == ["If the caps are joined by a hose: lift the whole row at once."]
    file = files_of(own.pack)["battery-watering"]
    before = file.read_text(encoding="utf-8")
    taken = take(store, own.pack, made.id, by="Wyn", on=TODAY)
    gone = set(before.splitlines()) - set(file.read_text(encoding="utf-8").splitlines())
    assert [line for line in gone if not line.startswith("reviewed:")] == []
    assert taken.pack is not None
    assert "joined by a hose" in taken.pack.answer("battery-watering").text


def test_a_taken_answer_is_in_the_base_and_cannot_be_taken_twice(store: Store, own: Stages) -> None:
    made = proposed(store, own, "Pike", REPLY)
    taken = take(store, own.pack, made.id, by="Wyn", on=TODAY)
    (answer,) = taken.proposal.after
    assert load(own.pack.root).answer(answer.id).reviewed == "2026-11-25"
    with pytest.raises(Unusable, match="taken already"):
        take(store, own.pack, made.id, by="Wyn", on=TODAY)


def test_taking_again_after_a_crash_between_files_and_queue_makes_no_second_answer(store: Store, own: Stages) -> None:
    made = proposed(store, own, "Pike", REPLY)
    taken = take(store, own.pack, made.id, by="Wyn", on=TODAY)
    store.proposals.replace(made, by="test")  # as if the program had ended before it could say so
    again = take(store, load(own.pack.root), made.id, by="Wyn", on=TODAY)
    assert again.files == ()
    assert taken.pack is not None
    assert len(load(own.pack.root).answers) == len(taken.pack.answers)


def test_where_the_shop_wants_it_two_persons_agree_to_hazards(store: Store, own: Stages) -> None:
    made = proposed(store, own, "flooded", edited(store))
    assert made.hazards
    careful = replace(own.pack, shop=replace(own.pack.shop, two_for_hazards=True))
    assert take(store, careful, made.id, by="Wyn", on=TODAY).waits
    assert take(store, careful, made.id, by="Wyn", on=TODAY).waits
    assert not take(store, careful, made.id, by="Odile", on=TODAY).waits


def test_a_refusal_needs_a_reason_and_keeps_it(store: Store, stages: Stages) -> None:
    made = proposed(store, stages, "Pike", REPLY)
    with pytest.raises(Unusable, match="Say why"):
        refuse(store, made.id, " ", by="Wyn")
    refuse(store, made.id, "only for this one", by="Wyn")
    kept = store.proposals.get(made.id)
    assert (kept.state, kept.reason) == (State.REFUSED, "only for this one")


def test_a_reworded_sentence_is_the_editors(store: Store, stages: Stages) -> None:
    made = proposed(store, stages, "Pike", REPLY)
    better = replace(made.after[0], text=f"{made.after[0].text}\n\nUse a wire gauge.")
    told = {line.text: line.said[0].origin for line in reword(store, made.id, better, by="Wyn").lines}
    assert told["Use a wire gauge."] is Origin.EDITOR
    assert Origin.REPLY in told.values()


def test_near_answers_and_disagreements_are_told_before_it_is_taken(store: Store, own: Stages) -> None:
    base = own.pack.answer("battery-watering")
    other = replace(base, id="other", text="Top up the cells once every ten years, after charging.")
    against = Proposal(0, Kind.NEW, (), (replace(base, id="new", text="Never top up the cells after charging."),))
    around = beside(against, replace(own, pack=replace(own.pack, answers=(*own.pack.answers, other))))
    assert around.neighbours[0].answer == "battery-watering"
    assert "other" in {found.answer for found in around.disagreements}


def test_a_proposal_goes_into_an_answer_or_together_with_another(store: Store, own: Stages) -> None:
    first = proposed(store, own, "Pike", REPLY)
    second = proposed(store, own, "flooded", edited(store))
    both = merge_proposals(store, own.pack, second.id, first.id, by="Wyn")
    assert "0.7 mm" in both.after[0].text
    assert store.proposals.get(first.id).state is State.REFUSED
    into = merge_with_answer(store, own.pack, second.id, "battery-hydrometer", by="Wyn")
    assert {answer.id for answer in into.before} == {"battery-hydrometer", "battery-watering"}
    taken = take(store, own.pack, into.id, by="Wyn", on=TODAY)
    assert taken.pack is not None
    assert "battery-watering" not in {answer.id for answer in taken.pack.answers}
    assert taken.pack.answer("battery-hydrometer").replaces == ["battery-watering"]


def test_a_proposal_is_split_in_two(store: Store, own: Stages) -> None:
    made = proposed(store, own, "Pike", REPLY)
    parts = split(store, own.pack, made.id, [2], title="Sooty plug", question="Why is it sooty?", by="Wyn").after
    assert [part.title for part in parts][1] == "Sooty plug"
    assert "0.7 mm" in parts[0].text
    assert "sooty" in parts[1].text
    with pytest.raises(Unusable, match="several answers"):
        split(store, own.pack, made.id, [1], title="T", question="Q?", by="Wyn")


def test_use_and_outcome_of_an_answer_are_known(store: Store, stages: Stages) -> None:
    number = thread_of(store, "flooded")
    store.record_reply(number, edited(store), by="Odile")
    store.settle(number, by="Odile", outcome="made no difference")
    one = next(s for s in answer_standings(store, stages.pack, TODAY) if s.answer == "battery-watering")
    assert (one.uses, one.did_not_help, one.last_used) == (1, 1, TODAY)
    assert one.stale[-1] == "did not help 1 times, helped 0"


def test_a_confirmed_cause_counts_and_is_taken_back(store: Store, own: Stages) -> None:
    number = thread_of(store, "Pike")
    cause = next(name for name, cause in own.pack.causes.items() if cause.powertrain == "petrol")
    moved = confirm_cause(store, own.pack, number, cause, by="Wyn", on=TODAY)
    (shift,) = cause_shifts(moved)
    assert shift.cause == cause
    assert shift.now > shift.before
    assert moved.causes[cause].prior == pytest.approx(shift.now)
    assert take_back_cause(store, moved, number, by="Wyn").causes == own.pack.causes
    with pytest.raises(Unusable, match="There is no cause"):
        confirm_cause(store, own.pack, number, "gremlins", by="Wyn", on=TODAY)
    other = next(c.id for c in own.pack.causes.values() if c.powertrain == "electric")
    with pytest.raises(Unusable, match="electric carts, and that of thread"):
        confirm_cause(store, own.pack, thread_of(store, "Pike"), other, by="Wyn", on=TODAY)


def test_forgetting_an_asker_takes_their_words_out_of_proposals(store: Store, stages: Stages) -> None:
    made = proposed(store, stages, "Pike", REPLY)
    store.forget("asker1@post.example", by="Wyn")
    kept = store.proposals.get(made.id)
    assert kept.threads == ()
    assert all(line.said == () for line in kept.lines)


def test_topics_are_what_has_no_answer(store: Store, stages: Stages) -> None:
    for topic in open_topics(store, stages, TODAY):
        assert thread_of(store, "flooded") not in topic.threads


def test_a_sentence_that_begins_with_your_is_no_closing(store: Store, stages: Stages) -> None:
    made = proposed(
        store,
        stages,
        "Pike",
        REPLY.replace("Your reading of 0.4 mm is far", "Your cart takes the short plug, a long one is"),
    )
    assert "Your cart takes the short plug" in made.after[0].text


GAP = "The spark plug gap of the Tern is 0.7 mm. Clean the air filter before you change a sooty plug."


def said_on_air(store: Store, how: Spoken, note: str = "") -> int:
    """A question that waits is on the sheet of an hour, and the host notes what became of it; its thread."""
    number = thread_of(store, "Pike")
    store.programmes.keep(Programme(TODAY, 30, 5, (Slot(Candidate(number, PLUG), 1, 2.0),)), by="Wyn")
    store.programmes.say(AirNote(TODAY, number, how, note), by="Wyn")
    return number


def test_what_the_host_said_otherwise_is_material(store: Store, stages: Stages) -> None:
    said_on_air(store, Spoken.CHANGED, f"{GAP} Joan Pike of Odder Street told us so, 555-0123.")
    (made,) = look(store, stages, on=TODAY)
    proposal = store.proposals.get(made)
    told = [said for line in proposal.lines for said in line.said]
    assert {said.origin for said in told} == {Origin.ON_AIR}
    assert {said.place for said in told} == {"on air 2026-11-25"}
    assert "0.7 mm" in proposal.after[0].text
    kept = " ".join([proposal.after[0].text, *(said.text for said in told)])
    assert not any(word in kept for word in ("Joan", "Pike", "0123"))


@pytest.mark.parametrize("how", [Spoken.SAID, Spoken.ASKED_BACK, Spoken.POSTPONED])
def test_what_was_said_as_on_the_sheet_or_not_at_all_is_none(store: Store, stages: Stages, how: Spoken) -> None:
    said_on_air(store, how, GAP)
    assert look(store, stages, on=TODAY) == ()


def test_what_was_said_on_air_is_looked_at_once(store: Store, stages: Stages) -> None:
    said_on_air(store, Spoken.CHANGED, GAP)
    assert len(look(store, stages, on=TODAY)) == 1
    assert look(store, stages, on=TODAY) == ()
