"""Phone numbers, mail addresses, links, and numbers of orders and vehicles, in the ways people write them."""

from __future__ import annotations

import re
from collections.abc import Iterator

from triage.language.private_found import Found, Kind, Particulars, found

_DOT = (  # between the parts of a domain; not the full stop that a sentence follows: "...example. Does it charge?"
    r"(?: ?(?:\(dot\)|\[dot\]) ?| dot |\.(?!(?-i:[A-Z][a-z]))"
    r"| ?\. ?(?=(?:com|net|org|info|biz|co|uk|ca|example)\b))"
)
_MAIL = re.compile(
    rf"(?i)\b[\w.+-]+ ?(?:@|\(at\)|\[at\]|\{{at\}}) ?[\w-]+(?:{_DOT}[a-z][\w-]*)+"
    r"|\b[\w.+-]+ at [\w-]+ dot [a-z]+(?: dot [a-z]+)*"
)
_LINK = re.compile(
    r"(?i)\b(?:https?://|www\.)[^\s<>\"']*[^\s<>\"'.,;:!?)]"
    r"|(?<![@\w.-])[a-z][\w-]*(?:\.[\w-]+)*\.(?:com|net|org|example|info|biz|io|co\.uk|org\.uk)\b"
    r"(?:/[^\s<>\"']*[^\s<>\"'.,;:!?)])?"
    r"|(?<![\w@])@[a-z]\w*(?:[_.]\w+|\d\w*)"
    r"|(?<=instagram )@?[a-z][\w.]{3,}\w|(?<=insta )@[a-z][\w.]{3,}\w|(?<=facebook )@[a-z][\w.]{3,}\w"
)

# words after a figure that make it a figure of the trade
_UNIT = (
    r"(?i:\s?(?:[vaw]|ah|wh|kwh|kw|hp|volts?|amps?|watts?|ohms?|k?ohm|Ω|rpm|mph|kmh|km/h|km|miles?|mi|hours?|hrs?|h"
    r"|mm|cm|m|in|inch(?:es)?"
    r"|ft|feet|lbs?|pounds?|kg|psi|bar|cc|ml|l|litres?|liters?|gal(?:lon)?s?|%|°|degrees?|deg|cycles?|quid"
    r"|dollars?|pounds?|bucks|k|hz|nm"
    r"|seat(?:er)?|yards?|minutes?|mins?|days?|weeks?|years?|yrs?|times|turns?)(?![a-z0-9]))"
)
_CALLED = (
    r"(?i:\b(?:call|phone|ring|text|tel|telephone|mobile|mob|cell|fax|whatsapp|reach|ph|number(?: is|'s)?|landline"
    r"|direct|contact"
    r"|dial|callback|extension|office)(?:ed|ing)?\b)"
)
_DIGITS = r"[+(]{0,2}\d(?:[\d().\- \t]|(?<=\d)/(?=\d)){4,22}\d"
_GROUPS = re.compile(rf"(?<![\w.,/:#£$€-]){_DIGITS}(?![\w,/-]?\d)(?:,? ?(?:x|ext\.?|extension) ?\d{{1,5}}\b)?")
_NEAR = re.compile(rf"{_CALLED}[^\d\n?!]{{0,40}}$")
_SHAPES = tuple(
    re.compile(shape)
    for shape in (
        r"(?:\+|00)\d[\d().\- ]{6,}",  # with the country told
        r"\+?1?[-. ]?\(?\d{3}\)?[-. ]{1,2}\d{3}[-. ]\d{4}",  # three, three, four
        r"\(0?\d{2,5}\)[-. ]?\d{3,4}[-. ]?\d{3,4}",  # the area in brackets
        r"0\d{2,4}[-. /]?\d{3,4}[-. ]?\d{3,4}",  # a leading nought
        r"0\d[\d ]{8,12}",
        r"\d{10,11}",
        r"\d{5} \d{6}",
        r"555[-. ]?01\d\d",
    )
)
_SEVEN = re.compile(r"\d{3}-\d{4}")
_PART = re.compile(
    r"(?i)\b(?:part|item|model|stock|sku|catalogue|kit|belt|bearing|seal)s? ?(?:numbers?|no\.?|nr|#)?(?: is|:)? ?$"
)
_EXTENSION = re.compile(r"(?i),? ?(?:x|ext\.?|extension) ?\d{1,5}$")
_SAID = re.compile(
    r"(?i)\b(?:(?:double|triple|treble)[ -])?(?:oh|o|nought|zero|one|two|three|four|five|six|seven|eight|nine|\d)"
    r"(?:[ ,-]+(?:(?:double|triple|treble)[ -])?(?:oh|o|nought|zero|one|two|three|four|five|six|seven|eight"
    r"|nine)){6,}\b"
)
_EXTENDED = re.compile(r"(?i)\bext(?:ension)?\b\.?(?: is| no\.?| number)?:? \d{2,5}\b")
_SINGLES = re.compile(r"(?<![\d.] )(?<!\d)(?:[01](?:[ -]\d){8,11}|5[ -]5[ -]5(?:[ -]\d){4})(?![ -]?[\d.])")

_LABEL = (
    r"(?i:\b(?P<label>orders?|ordered under|invoices?|inv|account|acct|a/c|customer|client|receipt|booking|job(?:"
    r" card| sheet)?|quote|quotation|"
    r"ref(?:erence)?|p\.?o\.?|purchase order|warranty(?: claim)?|policy|claim|member(?:ship)?|tracking|confirmation"
    r"|docket|rma|case"
    r"|ticket|delivery note|work order|consignment|parcel|card|transaction|payment)"
    r"(?P<named>(?: (?:is|was))?[ .:(-]{0,3}(?:numbers?|no\.?|num\.?|nr\.?|id|code|ref(?:erence)?)\b\.?)?"
    r"(?: (?:with you|you sent|from you|of mine|I paid))?"
    r"(?P<join>(?:[ :=#-]|\bis\b|\bwas\b|\bof\b|\(){0,6}))"
)
_VALUE = r"(?P<value>(?:[A-Z]{1,5}[-/ ]?|[a-z]{1,4}-?)?(?:\d[\w-]*\d[\w-]*\d[\w]*(?:/\d+)?))"
_LABELLED = re.compile(rf"{_LABEL}{_VALUE}\)?(?!{_UNIT}|[x×/.]\d)")
_LOOSE = frozenset(
    "case card job claim policy quote parcel payment delivery note tracking".split()
)  # words of other use too
_YEAR = re.compile(r"(?:19[5-9]|20[0-4])\d")
_UNITED = re.compile(rf"\d+(?:\.\d+)?{_UNIT}")
_PREFIXED = re.compile(r"\b(?:INV|PO|ORD|SO|RMA|REF|TKT|CUST|ACC|WO|QU|QT|HL|DN)[-# /]?\d{3,}[\w/-]*")
_HASHED = re.compile(r"(?<![\w&])#\s?\d{4,}\b(?:-\d+)*")
_LONG = re.compile(rf"(?<![\w.,/£$€-])(?<!part )(?<!number )(?<!no )(?<!no\. )\d{{6,}}(?![\w,/-]|\.\d)(?!{_UNIT})")
_CARD = re.compile(r"(?<![\d-])(?:\d{4}[ -]){3}\d{4}(?![\d-])")
_GRAVITY = re.compile(r"(?:1[0-3]\d\d[ -]){3}1[0-3]\d\d")  # four hydrometer readings

_SERIAL = re.compile(
    r"(?i:\b(?:serial(?: plate)?|s/n|sn|vin|chassis|frame|pin|hull|manufacturer'?s)(?:[ .]{0,2}"
    r"(?:numbers?|no\.?|num\.?|nr\.?|code))?"
    r"(?:[ :=#(-]|\bis\b|\bsays\b|\breads\b|\bof\b|\bit is\b|\bit's\b|'s\b|\bgives\b|\bshows\b|\bstamped\b){1,8})"
    r"(?P<value>(?=[A-Za-z -]{0,6}\d)(?:[A-Z]{1,4} )?[A-Za-z0-9][A-Za-z0-9-]{3,19})(?![\w-])"
)
_SHAPED = re.compile(
    r"(?<![\w-])(?:[A-Z]{1,6}\d{0,3}[- ]?\d{5,}[A-Z0-9]*|\d{1,3}[A-Z]{1,4}\d{5,}|[A-Z0-9]{2,6}-\d{5,}[A-Z0-9-]*"
    r"|[A-Z]{1,5}(?:-[A-Z0-9]{1,6}){1,2}-\d{4,})(?![\w-])"
)
_VIN = re.compile(r"\b(?=[A-Z0-9]*\d{3})(?=[A-Z0-9]*[A-Z])[A-HJ-NPR-Z0-9]{17}\b")
_PLATE = re.compile(
    r"\b[A-Z]{2}\d{2} ?[A-Z]{3}\b"
    r"|(?i:\b(?:(?:number|licen[cs]e|registration|reg|index)[ -]?plate|registration|reg|tag|licen[cs]e|plates?(?= "
    r"(?:number|no|is|[A-Z\d-]*\d)))"
    r"(?: (?:number|no\.?|mark))?(?:[ :#]|\bis\b|\bsays\b|\breads\b|\bof\b){1,6})"
    r"(?P<value>(?=[A-Z -]{0,6}\d)(?=[\d -]{0,5}[A-Z])[A-Z0-9]{2,4}[ -]?[A-Z0-9]{2,4}(?: ?[A-Z]{3})?|[a-z]{2}\d\d"
    r" ?[a-z]{3})(?![\w.-]*\w)"
)


def find(text: str, known: Particulars) -> Iterator[Found]:
    """Every number and address of a wire kind."""
    for match in _MAIL.finditer(text):
        yield found(Kind.MAIL, *match.span())
    for match in _LINK.finditer(text):
        yield found(Kind.LINK, *match.span())
    yield from _phones(text)
    yield from _references(text)
    yield from _serials(text)
    for number in known.numbers:
        for match in re.finditer(rf"(?i)(?<!\w){re.escape(number)}(?!\w)", text):
            yield found(Kind.SERIAL, *match.span())


def _phones(text: str) -> Iterator[Found]:
    for match in _GROUPS.finditer(text):
        if _is_phone(text, match):
            yield found(Kind.PHONE, *match.span())
    for pattern in (_SAID, _SINGLES, _EXTENDED):
        for match in pattern.finditer(text):
            yield found(Kind.PHONE, *match.span())


def _is_phone(text: str, match: re.Match[str]) -> bool:
    digits = _EXTENSION.sub("", match[0])
    if any(shape.fullmatch(digits) for shape in _SHAPES):
        return True
    if re.match(_UNIT, text[match.end() :]) or not 6 <= sum(sign.isdigit() for sign in digits) <= 15:
        return False
    called = _NEAR.search(text, max(0, match.start() - 60), match.start()) is not None
    round_ends = digits.endswith(("00", "50"))  # "900-1200" is a range
    if _PART.search(text, max(0, match.start() - 30), match.start()):
        return False
    return (called and not re.search(r"\d\.\d+ ", digits)) or bool(_SEVEN.fullmatch(digits) and not round_ends)


def _references(text: str) -> Iterator[Found]:
    for match in _LABELLED.finditer(text):
        if not _is_figure(match):
            start = match.start("named") if match["named"] else match.start("join")
            yield found(Kind.NUMBER, start, match.end(), " number" if match["named"] else "")
    for pattern in (_PREFIXED, _HASHED, _LONG):
        for match in pattern.finditer(text):
            yield found(Kind.NUMBER, *match.span())
    for match in _CARD.finditer(text):
        if not _GRAVITY.fullmatch(match[0]):
            yield found(Kind.NUMBER, *match.span())


def _is_figure(match: re.Match[str]) -> bool:
    """True for "order 2015 brake shoes", "case 48V": what follows is no number of anything on paper."""
    value = match["value"].strip()
    plain = not match["named"] and "#" not in match["join"]
    loose = match["label"].lower() in _LOOSE or bool(_YEAR.fullmatch(value))
    return (plain and loose) or bool(_UNITED.fullmatch(value))


def _is_figured(value: str) -> bool:
    """A figure with its unit; a long one that ends in "A" is no current."""
    return bool(_UNITED.fullmatch(value)) and sum(sign.isdigit() for sign in value) < 6


def _serials(text: str) -> Iterator[Found]:
    for match in _SERIAL.finditer(text):
        if not _is_figured(match["value"]) and not _YEAR.fullmatch(match["value"]):
            yield found(Kind.SERIAL, *match.span("value"))
    for pattern in (_SHAPED, _VIN):
        for match in pattern.finditer(text):
            yield found(Kind.SERIAL, *match.span())
    for match in _PLATE.finditer(text):
        span = match.span("value") if match["value"] else match.span()
        if not _UNITED.match(text[span[0] : span[1]]):
            yield found(Kind.SERIAL, *span)
