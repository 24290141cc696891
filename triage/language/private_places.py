"""Street addresses and postcodes, British, American, Canadian and plain."""

from __future__ import annotations

import re
from collections.abc import Iterator

from triage.language.private_found import Found, Kind, Particulars, found

_TYPES = (
    "Street|St|Road|Rd|Lane|Ln|Avenue|Ave|Drive|Dr|Close|Court|Ct|Way|Place|Pl|Crescent|Cres|Terrace|Gardens|Grove"
    "|Hill|Boulevard"
    "|Blvd|Highway|Hwy|Parkway|Pkwy|Circle|Cir|Trail|Trl|Row|Mews|Square|Sq|Walk|Rise|Parade|Heights|Loop|Turnpike"
    "|Pike|Alley|Green"
    "|Esplanade|Embankment|Wharf|Quay|Ridge|Route|Drove|Mead|Croft|Meadows?|Bend|Cove|Landing|Fairway|Orchard"
)
_SURE_TYPES = "Street|Road|Lane|Avenue|Crescent|Boulevard|Terrace|Mews|Cul-de-sac"
_ESTATE = (
    "(?:Industrial|Trading|Business|Retail|Caravan|Trailer|Holiday|Mobile Home) (?:Estate|Park|Village|Centre|Center)"
)
_HOUSE = "Cottage|House|Farmhouse|Farm|Barn|Lodge|Manor|Hall|Villas?|Bungalow|Rectory|Vicarage|Stables"
_CAP = r"(?:[A-Z][\w'’]*\.?|\d{1,3}(?:st|nd|rd|th))"
_UNITS = (
    r"(?!(?i:v|volts?|amps?|mph|inch(?:es)?|miles?|hp|wheels?|seat(?:er)?s?|ah|rpm|speed|way|cell|batter\w+|pole|row"
    r"|lane|piece|part"
    r"|x|by|and|or|to|lug|stud|ply|degree|percent|year|new|old|golf|good|more|series|stage|stroke|cylinder)\b)"
)
_FLAT = (
    r"(?:(?:Flat|Apt\.?|Apartment|Unit|Suite|Ste\.?|Lot|Plot|Bldg|Room|flat|apt\.?|unit|suite|lot)"
    r" ?#?\w{1,4}\b,? ?(?:/ ?|, ?)?)"
)
_COMPASS = r"(?:[NSEW]{1,2}\.? |(?:North|South|East|West) )"
_STREET = (
    rf"{_UNITS}{_COMPASS}?(?:{_CAP}[ -]){{1,3}}(?:{_TYPES})\b\.?(?: (?:[NSEW]{{1,2}}|North|South|East|West"
    rf"|\d{{1,4}})\b)?"
)
_TAIL = (
    rf"(?:,? ?{_FLAT}|,? ?#\d+\w?)?"
    rf"(?:(?:,\s{{0,2}}|(?<=, ))(?!(?:The|My|I|It|We|But|And|He|She|Our|So|If|Is|No|Can|Please)\b){_CAP}"
    rf"(?:[ -]{_CAP}){{0,2}}){{0,3}}"
)
_UK = r"[A-Z]{1,2}\d[A-Z\d]? ?\d(?!AH|FT|LB|HP|HZ|ND|RD|ST|TH)[ABD-HJLNP-UW-Z]{2}"
_US = r"[A-Z]{2},? \d{5}(?:-\d{4})?"
_CANADA = r"[ABCEGHJ-NPRSTVXY]\d[ABCEGHJ-NPRSTV-Z][ -]?\d[ABCEGHJ-NPRSTV-Z]\d"
_CODE = rf"(?:,?\s{{1,2}}(?:[A-Z]{{2}} )?(?:{_UK}|{_US}|{_CANADA}|\d{{5}}(?:-\d{{4}})?)\b)?"
_STREET_ADDRESS = re.compile(
    rf"(?<![\w.,/-])(?:{_FLAT})?(?<![\d.])\d{{1,5}}(?:-\d{{1,5}})?[A-Za-z]?,? {_STREET}{_TAIL}{_CODE}"
)
_NAMED_STREET = re.compile(rf"\b(?:{_CAP}[ -]){{1,2}}(?:{_SURE_TYPES})\b{_TAIL}{_CODE}")
_ESTATE_ADDRESS = re.compile(rf"(?:{_FLAT})?(?:{_CAP} ){{1,3}}{_ESTATE}\b{_TAIL}{_CODE}")
_HOUSE_ADDRESS = re.compile(rf"\b(?:{_CAP} ){{1,2}}(?:{_HOUSE}), (?:{_CAP} ){{0,2}}{_CAP}{_TAIL}{_CODE}")
_HOUSE_CUED = re.compile(
    rf"(?:(?<= at )|(?<=^)|(?<= is )|(?<=: ))(?:The )?(?:{_CAP} ){{1,2}}(?:{_HOUSE})\b{_TAIL}{_CODE}"
)
_CUED = re.compile(
    r"(?i:\b(?:(?:live|living|based|am|are|is|it's|house|cart is|stored|parked|kept|deliver(?:y|ed)?|ship"
    r"(?:ped)?|sent|send (?:it|them)|come|collect(?:ed)?"
    r"|pick(?:ed)?(?: it)? up|garage|place|shop|address)(?: is)? (?:at|to|from|on|is|out on|over at|off)|address(?:"
    r" is)?:?|deliver to|ship to)) "
    r"(?P<value>\d{1,5}[a-z]?,? (?!(?i:v|volts?|amps?|mph|am|pm|miles?|minutes?|percent)\b)(?:(?:[a-z'’]+|\d{1,3}"
    r"(?:st|nd|rd|th)) ){1,3}"
    r"(?i:street|st|road|rd|lane|ln|avenue|ave|drive|dr|close|court|ct|way|place|crescent|terrace|gardens|grove|hill"
    r"|boulevard|blvd"
    r"|highway|hwy|circle|trail|row|mews|square|walk)\b\.?(?:,? (?!(?i:and|but|so|it|the|my|is|in|if|near)\b)[a-z]+"
    r"(?=[.,\n]|$))?)",
)
_NUMBERED_ROAD = re.compile(
    rf"(?<![\w.,/-])\d{{1,5}} (?:{_COMPASS})?(?:State |County |US )?(?:Route|Road|Rte|Highway|Hwy"
    rf"|Rt)\.? \d{{1,4}}\b{_TAIL}{_CODE}"
)
_BOX = re.compile(rf"(?i:\bp\.? ?o\.? ?box #?\d+\b){_TAIL}{_CODE}")
_ROUTE = re.compile(rf"\bR\.?R\.? ?#? ?\d+\b,? ?(?:Box \d+)?{_TAIL}{_CODE}")
_POSTCODE = re.compile(rf"(?<![\w-])(?:{_UK}|{_CANADA})(?![\w-])|(?:(?<=, )|(?<=,)|(?<=[a-z] )){_US}(?![\w-])")
_CUED_CODE = re.compile(
    r"(?i:\b(?:post ?code|postal code|zip(?: ?code)?|eircode|plz)\b(?: (?:is|here is|of)|:|'s)?:? ?)"
    r"(?P<value>(?i:[a-z]{1,2}\d[a-z\d]? ?\d[a-z]{2}|[a-z]\d[a-z][ -]?\d[a-z]\d|[a-z]\d\d ?[a-z\d]{4}|\d{4,5}"
    r"(?:-\d{4})?))\b"
)
_YEAR = re.compile(r"(?:19|20)\d\d")
_ARTICLE = re.compile(r"\b(?:a|an|the|my|our|your|his|her|their) $", re.IGNORECASE)
_PATTERNS = (
    _STREET_ADDRESS, _NAMED_STREET, _ESTATE_ADDRESS, _HOUSE_ADDRESS, _HOUSE_CUED, _CUED, _NUMBERED_ROAD, _BOX,
    _ROUTE, _POSTCODE, _CUED_CODE,
)  # fmt: skip


def find(text: str, known: Particulars) -> Iterator[Found]:
    """Every stretch that says where somebody lives."""
    for pattern in _PATTERNS:
        for match in pattern.finditer(text):
            span = match.span("value") if "value" in pattern.groupindex else match.span()
            if not _is_kept(text[span[0] : span[1]], text[: span[0]], known):
                yield found(Kind.ADDRESS, *span)


def _is_kept(words: str, before: str, known: Particulars) -> bool:
    """True for the shop's own name, or a vehicle's, that ends like a street; its year stands after an article."""
    plain = [word.strip(".,'’").lower() for word in words.split()]
    if _YEAR.fullmatch(plain[0]) and _ARTICLE.search(before):
        plain = plain[1:]
    return all(word in known.keep for word in plain)
