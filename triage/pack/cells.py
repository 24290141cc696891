"""What people write into one cell of a spreadsheet, and the value it stands for."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping

from triage.pack.problem import suggest

_NONE = frozenset({"", "-", "--", "\u2013", "\u2014", "n/a", "na", "none", "unknown", "?"})
_ANY = _NONE | {"any", "all", "both", "either", "*"}
_YES = frozenset({"yes", "y", "true", "t", "1", "x", "✓", "✔"})
_NO = frozenset({"no", "n", "false", "f", "0"})
_DENIALS = frozenset({"no", "not", "non", "without"})
_STILL_MADE = _NONE | {"now", "present", "today", "current", "on"}
_KM_PER_MILE = 1.609344  # international mile, by definition

_POWERTRAINS = {
    **dict.fromkeys(("electric", "ev", "e", "elec", "battery", "electrical"), "electric"),
    **dict.fromkeys(("petrol", "gas", "gasoline", "g", "p", "ice", "gas engine", "petrol engine"), "petrol"),
}
_CHEMISTRIES = {
    **dict.fromkeys(("flooded", "wet", "flooded lead acid", "wet lead acid", "fla"), "flooded"),
    **dict.fromkeys(("agm", "sealed agm", "agm lead acid"), "agm"),
    **dict.fromkeys(("gel", "gel lead acid"), "gel"),
    **dict.fromkeys(("lithium", "li", "li ion", "lithium ion", "lifepo4", "lfp"), "lithium"),
}
_CONTROLLERS = {
    **dict.fromkeys(("stock", "standard", "original", "factory", "oem"), "stock"),
    **dict.fromkeys(("modified", "upgraded", "aftermarket", "changed"), "modified"),
}


class BadCell(ValueError):
    """The cell cannot mean a value of its column; `fix` says what would."""

    def __init__(self, message: str, fix: str) -> None:
        super().__init__(message)
        self.message, self.fix = message, fix


def text(cell: str) -> str:
    """The cell as it is."""
    return cell


def texts(cell: str) -> list[str]:
    r"""Items set apart by ; or by lines. A backslash before ; or a line end keeps it in the item.

    >>> texts("it stopped\; why?; no click")
    ['it stopped; why?', 'no click']
    """
    items = re.findall(r"(?:\\[;\\\n]|[^;\n])+", cell)
    plain = [re.sub(r"\\([;\\\n])", r"\1", item).strip() for item in items]
    return [item for item in plain if item]


def from_texts(items: list[str]) -> str:
    """The cell that `texts` reads back."""
    return "; ".join(re.sub(r"(\\(?=[;\\\n]|$)|[;\n])", r"\\\1", item) for item in items)


def names(cell: str) -> list[str]:
    """Like `texts`, where "any" and the like mean no limit."""
    return [] if cell.casefold() in _ANY else texts(cell)


def terms(cell: str) -> list[str]:
    """Like `texts`, where "none" and the like mean that there is nothing."""
    return [] if cell.casefold() in _NONE else texts(cell)


def from_names(items: list[str]) -> str:
    """The cell that `names` reads back, even of a make called Any."""
    cell = from_texts(items)
    return f"{cell};" if cell.casefold() in _ANY - {""} else cell


def tokens(cell: str) -> list[str]:
    """Short words set apart by ; , / & or a line.

    >>> tokens("36V / 48V")
    ['36V', '48V']
    """
    if cell.casefold() in _ANY:
        return []
    parts = re.split(r"[;,/&\n]|\bor\b|\band\b", cell)
    return [part.strip() for part in parts if part.strip().casefold() not in _ANY]


def number(unit: str, spellings: tuple[str, ...]) -> Callable[[str], float | None]:
    """A reader of numbers that may carry their unit: "48V", "48 volts", "51,2 V"."""
    units = "|".join(map(re.escape, spellings))
    pattern = re.compile(rf"(\d+(?:[.,]\d+)?|\d{{1,3}},\d{{3}})\s*(?:{units})?\.?(?:\s*dc)?", re.IGNORECASE)

    def read(cell: str) -> float | None:
        if cell.casefold() in _NONE:
            return None
        match = pattern.fullmatch(cell)
        if not match:
            raise BadCell(f"'{cell}' is no number of {unit}", f"Write one number, such as 48, in {unit}.")
        return _float(match[1])

    return read


def _float(digits: str) -> float:
    thousands = re.fullmatch(r"\d{1,3},\d{3}", digits)
    return float(digits.replace(",", "" if thousands else "."))


volts = number("volts", ("v", "volt", "volts"))
amps = number("amps", ("a", "amp", "amps", "ampere", "amperes"))
_miles = number("miles per hour", ("mph", "miles per hour", "mi/h"))


def speed(cell: str) -> float | None:
    """Miles per hour; "30 km/h" is turned into miles per hour.

    >>> speed("30 km/h")
    18.6
    """
    metric = re.fullmatch(r"(\d+(?:[.,]\d+)?)\s*(?:km/h|kmh|kph|kmph)\.?", cell, re.IGNORECASE)
    return round(_float(metric[1]) / _KM_PER_MILE, 1) if metric else _miles(cell)


def voltages(cell: str) -> list[float]:
    """A list of volts."""
    return [value for part in _decimal_tokens(cell) if (value := volts(part)) is not None]


def _decimal_tokens(cell: str) -> list[str]:
    # "51,2" is one number and "36,48" are two: no pack has hundredths of a volt in its name.
    return tokens(re.sub(r"(?<=\d),(?=\d\b)", ".", cell))


def from_number(value: float | None) -> str:
    """The shortest text that gives the number back."""
    if value is None:
        return ""
    return str(int(value)) if float(value).is_integer() else repr(value)


def year(cell: str) -> int | None:
    """A year of four digits; empty when not given.

    >>> year("2009.0")
    2009
    """
    if cell.casefold() in _STILL_MADE:
        return None
    match = re.fullmatch(r"(\d{4})(?:\.0+)?", cell)
    if not match:
        raise BadCell(f"'{cell}' is no year", "Write four digits, such as 2009; leave it empty when open.")
    return int(match[1])


def year_range(cell: str) -> tuple[str, str] | None:
    """The two ends of "2009-2014", "2009 to 2014", "2009-" or "2009+"; None of anything else."""
    match = re.fullmatch(r"(\d{4})?\s*(?:[-\u2013\u2014+]|\bto\b|\buntil\b)\s*(\d{4}|now|present|today|on)?", cell)
    return (match[1] or "", match[2] or "") if match and (match[1] or match[2]) else None


def yes_no(cell: str) -> bool | None:
    """Yes, no, or not known."""
    word = cell.casefold()
    if word in _NONE:
        return None
    if word not in _YES | _NO:
        raise BadCell(f"'{cell}' is neither yes nor no", "Write yes or no, or leave it empty.")
    return word in _YES


def from_yes_no(value: bool | None) -> str:
    """The cell that `yes_no` reads back."""
    return "" if value is None else "yes" if value else "no"


def batteries(cell: str) -> str | None:
    """Count x volts, however it is spaced.

    >>> batteries("6 X 8 V")
    '6x8'
    """
    if cell.casefold() in _NONE:
        return None
    match = re.fullmatch(r"(\d+)\s*[x\u00d7*]\s*(\d+(?:[.,]\d+)?)\s*(?:v|volts?)?", cell, re.IGNORECASE)
    if not match:
        fix = "Write count x volts, such as 6x8 for six batteries of 8 V."
        raise BadCell(f"'{cell}' is no battery layout", fix)
    return f"{match[1]}x{match[2].replace(',', '.')}"


def word_of(spellings: Mapping[str, str], word: str) -> str:
    """The one of the values that the word spells; raises BadCell naming the nearest."""
    words = re.findall(r"\w+", word.casefold())
    plain = " ".join(words)
    meant = {spellings[one] for one in words if len(one) > 1 and one in spellings}
    if plain not in spellings and len(meant) == 1 and _DENIALS.isdisjoint(words):
        return meant.pop()  # "lead-acid (flooded)", "gas engine, two-seater"
    if plain not in spellings:
        allowed = ", ".join(dict.fromkeys(spellings.values()))
        fix = f"Write one of: {allowed}. {suggest(plain, set(spellings.values()))}"
        raise BadCell(f"'{word}' is not known here", fix)
    return spellings[plain]


def powertrain(cell: str) -> str | None:
    """Electric or petrol; None of both, any or nothing."""
    found = {word_of(_POWERTRAINS, part) for part in tokens(re.sub(r"\(.*?\)", "", cell).strip())}
    return found.pop() if len(found) == 1 else None


def chemistry(cell: str) -> str | None:
    """One battery chemistry, or not given."""
    return None if cell.casefold() in _NONE else word_of(_CHEMISTRIES, cell)


def chemistries(cell: str) -> list[str]:
    """Battery chemistries in the order given."""
    return list(dict.fromkeys(word_of(_CHEMISTRIES, part) for part in tokens(cell)))


def controllers(cell: str) -> list[str]:
    """Stock, modified, both by name, or any; else kinds of controller as the vehicles table names them ("series")."""
    return list(dict.fromkeys(_controller(part) for part in tokens(cell)))


def _controller(word: str) -> str:
    try:
        return word_of(_CONTROLLERS, word)
    except BadCell:
        return word.casefold()
