"""What the buyer writes above (or below) his table and means for every row of it: units, flanges, air, short words."""

import functools
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

from softseat.enquiry.cells import cell_said
from softseat.enquiry.folding import plain
from softseat.enquiry.headings import dimensions
from softseat.enquiry.reading import Column, Said
from softseat.sheet import GIVEN
from softseat.tables import index
from softseat.units import UNITS, find

_FIELDS = {
    "flow": ("flow", "flow_min", "flow_max"),
    "pressure": ("p1", "p2", "p_max", "p_design", "p_min"),
    "temperature": ("t_min", "t_normal", "t_max", "ambient_min", "ambient_max"),
}
QUANTITIES = ("flow", "pressure", "temperature", "size")
_UNIT = r"(?P<unit>[a-z][a-z0-9/().]*(?: [a-z()]+){0,4})"
_RATING = re.compile(r"\bPN ?(?:6|10|16|25)\b(?! ?[/-])|\b(?:class|cl|ansi|asa) ?\.?(?:125|150)\b|\b150 ?(?:#|lbs?\b)", re.I)
_NEXT = r"(?=[,.;]|$| [A-Z]+[A-Z0-9/]* ?=| [A-Z][A-Z0-9/]* [a-z])"  # what may stand behind a word that is spelled out
_SHORT = re.compile(
    r"(?<![\w/])(?P<short>[A-Z][A-Z0-9]{0,5}(?:/[A-Z][A-Z0-9]{0,5})*)(?P<sign> ?= ?| )(?P<words>[a-z][a-z0-9 /-]*[A-Za-z]{0,3})" + _NEXT
)
_NO_SHORT = re.compile(r"(?:PN|DN|NPS|CL|REV|P|T|Q|DIN|EN|ISO|ANSI|ASME|API)\d*$")
_SPELLED = ("medium", "service", "remarks", "disc", "liner", "body", "body_style", "operator", "shaft")  # columns with short words
ALIKE = 3
_LONGEST_TITLE = 400


@functools.cache
def _words() -> dict[str, re.Pattern[str]]:
    """What a line may speak of, as patterns on the line without accents."""
    row = {name: found["pattern"] for name, found in index("title_words", "what").items()}
    between = rf"(?:[\s/():=]|(?:{row['beside']})(?![\w]))*"
    spoken = {q: re.compile(rf"(?<!\w)(?:{row[q]})(?![\w=]){between}{_UNIT}") for q in QUANTITIES}
    return spoken | {
        "kind": re.compile(rf"\b(?:{row['pressure']})\b[^.;]{{0,30}}\b(?:({row['gauge']})|({row['absolute']}))\b"),
        "head": re.compile(rf"\bheads?\b[^.;,]{{0,20}}\b(?:{row['head']})\b"),
        "air": re.compile(rf"\b(?:{row['air']})\b"),
        "all": re.compile(rf"\b(?:{row['all']})\b"),
    }


@dataclass(frozen=True, slots=True)
class Titles:
    """What holds for all rows; ``said`` stands only where a row has no word of its own."""

    units: dict[str, str] = field(default_factory=dict)  # quantity -> unit
    kind: str = ""  # gauge or absolute, where it is said without a unit
    said: tuple[Said, ...] = ()
    short: dict[str, str] = field(default_factory=dict)  # abbreviation -> words

    @property
    def notes(self) -> list[str]:
        """For the protocol of the reading."""
        told = [f"{name} in {unit}" for name, unit in self.units.items()] + ([f"pressures {self.kind}"] if self.kind else [])
        told += [f"{s.name.replace('_', ' ')}" for s in self.said] + [f"{a} = {b}" for a, b in self.short.items()]
        return [f"said above the table for all rows: {'; '.join(told)}"] if told else []


def titles(lines: Iterable[str]) -> Titles:
    """What lines of text beside a table say of all its rows.

    Parameters
    ----------
    lines : iterable of str
        Title rows and notes as typed, one each.
    """
    texts = [" ".join(line.split())[:_LONGEST_TITLE] for line in lines]
    units: dict[str, str] = {}
    for text in texts:
        for quantity, unit in _units(text):
            units.setdefault(quantity, unit)
    kinds = [m for m in map(_words()["kind"].search, map(plain, texts)) if m]
    kind = ("gauge" if kinds[0].group(1) else "absolute") if kinds else ""
    said = tuple(s for text in texts for s in (*_air(text), *_rating(text)))
    return Titles(units, kind, said, _shorts(texts))


def _units(text: str) -> list[tuple[str, str]]:
    low, found = plain(text), []
    for quantity in QUANTITIES:
        units = (_first_unit(match["unit"], quantity) for match in _words()[quantity].finditer(low))
        if unit := next(filter(None, units), ""):
            found.append((quantity, unit))
    if _words()["head"].search(low) and not any(q == "pressure" for q, _ in found):
        found.append(("pressure", "m head"))
    return found


def _first_unit(words: str, quantity: str) -> str:
    """The longest beginning of some words that is a unit of this quantity."""
    parts = words.replace("litres a second", "l/s").replace("litre a second", "l/s").split()
    dims = {"flow": ("flow", "mass_flow"), "size": ("length",)}.get(quantity, (quantity,))
    for count in range(len(parts), 0, -1):
        typed = " ".join(parts[:count]).rstrip(".,;")
        if unit := find(typed, *dims) or find(plain(typed), *dims):
            return "" if unit.name == "-" else unit.name
    return ""


def _air(text: str) -> tuple[Said, ...]:
    """The supply of the operators, where the line speaks of it: of two figures the lower one counts."""
    match = _words()["air"].search(plain(text))
    if match is None:
        return ()
    behind = re.split(r"[.;]\s+(?=[^\W\d_])|, (?=[^\W\d_])|[.;]$", plain(text)[match.end() :].replace("mind.", "min"))[0]
    found = cell_said(behind.strip(" :,-") or "-", Column("", 0, ("air_min",)))
    return tuple(
        s._replace(why=f"said above the table: {text[match.start() :][:60]}", inferred=True) for s in found if not isinstance(s.value, str)
    )


def _rating(text: str) -> tuple[Said, ...]:
    """Flanges of all rows, where exactly one rating is named."""
    for sentence in re.split(r"[.;](?:\s|$)", text):
        named = {m.group().casefold() for m in _RATING.finditer(sentence)}
        if len(named) == 1 and _words()["all"].search(plain(sentence)):
            found = cell_said(named.pop(), Column("", 0, ("rating",)))
            return tuple(s._replace(why=f"said above the table: {sentence.strip()[:60]}", inferred=True) for s in found if s.state == GIVEN)
    return ()


def _shorts(texts: Sequence[str]) -> dict[str, str]:
    """Short words that are spelled out; without an equals sign only where a line spells out three."""
    found: dict[str, str] = {}
    for text in texts:
        pairs = [m for m in _SHORT.finditer(text) if not _NO_SHORT.fullmatch(m["short"])]
        sure = len(pairs) >= 3
        for match in pairs:
            if "=" in match["sign"] or sure:
                each = match["short"].split("/")
                for short in each if min(map(len, each)) >= ALIKE else ():  # "CWS/CWR" are two, "PA/DI" is one
                    found.setdefault(short, match["words"].strip())
                found.setdefault(match["short"], match["words"].strip())
    return found


def with_titles(columns: Sequence[Column], told: Titles) -> list[Column]:
    """Columns without a unit of their own take the one that is said for all; a kind of pressure joins the unit of the heading."""
    return [_with(column, told) for column in columns]


def _with(column: Column, told: Titles) -> Column:
    own = column.fields[0] if column.fields else ""
    quantity = next((q for q, fields in _FIELDS.items() if own in fields), "")
    if not quantity:
        return column
    unit = column.unit or told.units.get(quantity, "")
    if quantity == "pressure":
        base = UNITS[unit] if unit else None
        above = told.units.get("pressure", "")
        kind = told.kind or (UNITS[above].kind if above else "")
        if base is not None and not base.kind and kind and base.name != "m head":
            unit = (find(f"{base.name}({'g' if kind == 'gauge' else 'a'})", *dimensions(own)) or base).name
    return replace(column, unit=unit) if unit != column.unit else column


def spelled(text: str, own: str, told: Titles) -> str:
    """A cell with the buyer's short words spelled out."""
    if not told.short or own not in _SPELLED:
        return text
    if text in told.short:
        return told.short[text]
    return re.sub(r"[A-Z][A-Z0-9/]*", lambda m: told.short.get(m.group(), m.group()) if _whole(m) else m.group(), text)


def _whole(match: re.Match[str]) -> bool:
    before, after = match.string[: match.start()][-1:], match.string[match.end() :][:1]
    return not (before.isalnum() or after.isalnum())
