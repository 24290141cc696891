"""Words that no dictionary has: which may be a vehicle's name, and which are slips, places or people."""

from __future__ import annotations

import re

from triage.facts.names import VEHICLE_NOUNS
from triage.language import Document
from triage.language.spelling import Spelling, english, is_compound, is_derived, is_slip
from triage.language.stem import VOWELS
from triage.language.tokens import Token

_SHORT_FORM = re.compile(r"(?:i|you|he|she|it|we|they|that|there|who|could|should|would|might|must)(?:ll|ve|d|re|s)")
_OTHER_SPELLINGS = (("is", "iz"), ("ys", "yz"), ("our", "or"), ("or", "our"), ("iz", "is"), ("lph", "lf"), ("ph", "f"))
_INTRODUCING = frozenset("a an the my our his her or and electric petrol gas volt v old new".split())
_OFFERING = frozenset("or volt v electric petrol gas".split())
_PLACING = frozenset("in at near to around by via towards".split())
_GREETING = frozenset("mr mrs ms dr sir madam uncle aunt auntie mate thanks regards cheers sincerely hi hello".split())
_GREETING |= frozenset("dear hey im name brother sister cousin neighbour neighbor friend wife husband boss".split())
_CALLING = frozenset({"again", "here", "calling", "speaking"})  # "its NAME again"
_CLOSING = frozenset("thanks regards cheers sincerely wishes yours".split())
_LOOKED_AT = 400  # tokens
_SIGNED = 3  # words of a name under a letter
_HALF = 4  # letters of each half of two words written as one


def is_unknown(token: Token, spelling: Spelling) -> bool:
    """No word of the trade or of English, nor made from one; a capital speaks against a slip."""
    word = token.text.lower() if token.text.istitle() else token.norm
    spoken = len(word) >= 4 and word.isalpha() and bool(VOWELS & set(word))
    if not token.is_word or not spoken or word in VEHICLE_NOUNS:
        return False
    return not (spelling.knows(word) or is_derived(word) or _SHORT_FORM.fullmatch(word) or _is_spelt_otherwise(word))


def _is_spelt_otherwise(word: str) -> bool:
    """ "equalise" where the list has "equalize"."""
    forms = {word.replace(one, other) for one, other in _OTHER_SPELLINGS if one in word}
    return any(form in english() or is_derived(form) for form in forms - {word})


def may_be_name(document: Document, index: int) -> bool:
    """An unknown word that no more than stands there: no slip, no place, no person."""
    token = document.tokens[index]
    if token.text.islower() and is_cased(document):
        return False
    plain = token.text.islower() or opens_sentence(document, index)
    slip = plain and (is_slip(token.norm) or is_compound(token.norm, _HALF))
    return not (slip or _is_placed(document, index) or _is_person(document, index))


def is_cased(document: Document) -> bool:
    """Capitals mean something here: the text has small letters and capitals at the beginning of words."""
    words = [token.text for token in document.tokens[:_LOOKED_AT] if token.is_word]
    titled = sum(word.istitle() and word != "I" for word in words)
    return 1 < titled <= len(words) / 2 and any(word.islower() for word in words)


def opens_sentence(document: Document, index: int) -> bool:
    """The first token of its sentence: a capital says nothing there."""
    return index == 0 or not document.same_sentence(index - 1, index)


def is_introduced(document: Document, index: int) -> bool:
    """ "my NAME", "NAME or NAME", "the petrol NAME"."""
    return document.norm(index - 1) in _INTRODUCING


def is_offered(document: Document, index: int) -> bool:
    """ "NAME or NAME", "a 36 volt NAME", "2016 NAME": beside another name, or after what tells of a vehicle."""
    before = document.norm(index - 1)
    if before in ("a", "an", "the") and document.norm(index - 2) == "or":
        return True
    return before in _OFFERING or (len(before) == 4 and before.isdecimal())


def _is_placed(document: Document, index: int) -> bool:
    """ "in NAME", "near NAME": where somebody is; not "in NAME MODEL", "in NAME 48 V"."""
    following = document.tokens[index + 1] if index + 1 < len(document.tokens) else None
    goes_on = following is not None and (following.text.istitle() or following.kind == "number")
    return document.norm(index - 1) in _PLACING and not goes_on


def _is_person(document: Document, index: int) -> bool:
    """ "my brother NAME", "Thanks, NAME", and the name under a letter."""
    before = index - 1 - (document.norm(index - 1) in ("-", ":", "is"))
    if document.norm(before) in _GREETING or document.tokens[index].text.endswith(("'s", "’s")):
        return True
    if document.norm(index + 1) in _CALLING:
        return True
    closed = document.norm(index - 1) == "," and document.norm(index - 2) in _CLOSING
    return closed or _is_signature(document, index)


def _is_signature(document: Document, index: int) -> bool:
    """The last sentence of several, of nothing but a few words with capitals."""
    sentence = document.tokens[index].sentence
    if not sentence or document.tokens[-1].sentence != sentence:
        return False
    words = [token for token in document.tokens[-2 * _SIGNED :] if token.sentence == sentence and token.is_word]
    opens = document.tokens[max(0, len(document.tokens) - 2 * _SIGNED)].sentence < sentence
    return opens and len(words) <= _SIGNED and all(token.text.istitle() for token in words)
