"""Title, canonical question and wording of a proposed answer, from the asker's own words and facts."""

from __future__ import annotations

import re
from collections.abc import Sequence

from triage.growth.general import Lifter
from triage.growth.material import FEWEST_WORDS, Material, is_aside
from triage.growth.wordlists import stems_of
from triage.language.tokens import tokenise
from triage.pack import Pack
from triage.pack.schema import AppliesTo
from triage.reply.sentences import sentences

LONGEST = 110  # characters of a question
LONGEST_TITLE = 60
_ASKS = re.compile(r"^(?:what|which|how|why|can|could|do|does|is|are|should|will|where|when|may)\b", re.IGNORECASE)
_LEAD = re.compile(r"^(?:so|also|and|but|my question is|question|please|ok)[,:]?\s+", re.IGNORECASE)


def question_of(material: Material, texts: Sequence[str], lifter: Lifter, pack: Pack) -> str:
    """The asker's question in general words, the one that shares most with the answer; without one, what is wrong."""
    asking = [text for text in _told(material, lifter) if text.endswith("?") or _ASKS.match(text)]
    fit = [text for text in asking if len(text.split()) >= FEWEST_WORDS and len(text) <= LONGEST]
    best = max(fit, key=lambda text: len(_matter(text, lifter) & _matter(" ".join(texts), lifter)), default="")
    symptoms = [pack.symptoms[name].label for name in material.symptoms if name in pack.symptoms]
    if symptoms and len(_matter(best, lifter)) < FEWEST_WORDS:
        return lifter.lists.wording("asked_of_symptom").replace("{symptom}", " and ".join(symptoms[:2]))
    topics = topics_of(material, texts, lifter)
    best = best or variant_of(material, lifter) or f"What is known of {' and '.join(topics[:2]) or 'this'}"
    if topics and not any(topic in best.casefold() for topic in topics):
        best = f"{topics[0].capitalize()}: {best[:1].lower()}{best[1:]}"
    return best if best.endswith("?") else f"{best.rstrip('.!')}?"


def variant_of(material: Material, lifter: Lifter) -> str:
    """How the asker put it: the sentence with most matter, in general words."""
    told = [text for text in _told(material, lifter) if len(text.split()) >= FEWEST_WORDS and len(text) <= LONGEST]
    return max(told, key=lambda text: len(_matter(text, lifter)), default="").rstrip(".")


def title_of(material: Material, texts: Sequence[str], scope: AppliesTo, lifter: Lifter, pack: Pack) -> str:
    """What it is about in a few words: the symptom, else what question and answer both name; and what it is for."""
    symptoms = [pack.symptoms[name].label for name in material.symptoms if name in pack.symptoms]
    question = question_of(material, texts, lifter, pack).casefold()
    topics = sorted(topics_of(material, texts, lifter), key=lambda topic: topic not in question)
    matter = symptoms[0] if symptoms else ", ".join(topics[:2]) or variant_of(material, lifter)[:LONGEST_TITLE]
    kinds = [*scope.models, *(f"{volts:g} V" for volts in scope.voltages), *scope.chemistries]
    matter = matter or question_of(material, texts, lifter, pack).rstrip("?")
    shown = matter[:1].upper() + matter[1:]
    return f"{shown}: {', '.join(kinds)}" if kinds else shown


def topics_of(material: Material, texts: Sequence[str], lifter: Lifter) -> list[str]:
    """Runs of the question's words that the answer speaks of as well, the longest first: "spark plug gap"."""
    there = {stem for text in texts for stem in stems_of(text)}
    runs: list[list[str]] = []
    for text in _told(material, lifter):
        runs.append([])
        plain = _plain_words(text, lifter)
        for token in tokenise(text):
            if token.is_word and token.stem in there and token.norm not in plain:
                runs[-1].append(token.norm)
            elif runs[-1]:
                runs.append([])
    found = dict.fromkeys(" ".join(run) for run in runs if run and len(" ".join(run)) > 2)
    order = [stem for text in texts for stem in stems_of(text)]
    return sorted(found, key=lambda run: (-len(run.split()), order.index(stems_of(run)[0])))


def _told(material: Material, lifter: Lifter) -> list[str]:
    """The asker's sentences in general words; greetings and thanks are left out."""
    every = (text for line in material.question.split("\n\n") for text in sentences(" ".join(line.split())))
    own = [text for text in every if not is_aside(stems_of(text), lifter.lists)]
    own = [text for text in own if not _measured(text, material)] or own
    return [lifter.general(_LEAD.sub("", text), material, naming=False) for text in own]


def _measured(text: str, material: Material) -> bool:
    """It tells this asker's own readings."""
    told = {float(number) for number in re.findall(r"\d+(?:\.\d+)?", text)}
    return any(value in told for value, _ in material.readings)


def _matter(text: str, lifter: Lifter) -> frozenset[str]:
    plain = _plain_words(text, lifter)
    return frozenset(token.stem for token in tokenise(text) if token.is_word and token.norm not in plain)


def _plain_words(text: str, lifter: Lifter) -> frozenset[str]:
    tokens = tokenise(text)
    signs = (sign for sign in lifter.lists.find(tokens) if sign.kind in ("plain", "modal", "hedge"))
    return frozenset(tokens[index].norm for sign in signs for index in range(sign.first, sign.last))
