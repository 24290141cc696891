"""The answers' pages under axe-core in a real browser: light and dark, wide and 360 px; nothing runs over the edge."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from triage.bench.office import Office
from triage.growth.proposal import Kind, Line, Origin, Proposal, Said

from .conftest import Serve
from .post import NOW
from .test_safety_axe import AXE, RUN, SCREENS


def proposals(office: Office) -> tuple[int, int]:
    """A new answer, and a changed one that is at odds with what it leaves out."""
    old = office.stages.pack.answer("lithium-cutout-hills")
    words = "You may bridge the BMS."
    line = Line(words, (Said(Origin.REPLY, words, 1, "reply 1"),))
    changed = replace(old, text=old.text.replace("Never bridge the BMS.", words), variants=[*old.variants, "it stops"])
    new = replace(
        old, id="new one", title="A long title that says what a new answer is about, in a dozen words or more"
    )
    with office.store() as store:
        store.record_reply(1, old.text, by="Una")
        made = Proposal(0, Kind.REWORDING, (old,), (changed,), (line,), (1,), 2, ("Odile",), ("acid",), NOW.date())
        return store.proposals.keep(made, by="triage"), store.proposals.keep(Proposal(0, Kind.NEW, (), (new,)), by="t")


@pytest.mark.parametrize("screen", ["light", "dark-phone"])
def test_the_answers_pages_are_for_everybody(browser: Any, serve: Serve, office: Office, screen: str) -> None:
    changed, new = proposals(office)
    served, context = serve(office), browser.new_context(**SCREENS[screen], reduced_motion="reduce")
    page = context.new_page()
    for path in ("/answers", f"/answers/{changed}", f"/answers/{new}"):
        page.goto(served.url + path)
        page.wait_for_selector("#topics, #effect table, #effect > p:not(:has(progress))", timeout=20_000)
        page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true; })")
        page.evaluate(AXE)
        assert page.evaluate(RUN) == [], path
        assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth"), f"{path} runs over the edge"
    context.close()


def test_keys_go_to_the_decisions(browser: Any, serve: Serve, office: Office) -> None:
    changed, _ = proposals(office)
    page = browser.new_page()
    page.goto(f"{serve(office).url}/answers/{changed}")
    for key, at in (("t", "take"), ("x", "why"), ("m", "with"), ("r", "title-0"), ("p", "part-title")):
        page.evaluate("document.activeElement.blur()")
        page.keyboard.press(key)
        assert page.evaluate("document.activeElement.id") == at, key
    page.close()
