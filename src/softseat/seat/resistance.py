"""Whether the rubber of the seat, and the metal against it, stand a medium: one answer with limit, reason and what is refused anyway."""

import math
from dataclasses import dataclass

import numpy as np

from softseat import tables
from softseat.errors import UnknownName
from softseat.materials import elastomers
from softseat.materials.letters import LETTERS, UNKNOWN, C, neighbours, worst
from softseat.materials.resistance import liner_rating, metal_column, metal_rating
from softseat.media.lookup import recognised
from softseat.media.names import Match
from softseat.register import calculation

_NAN = float("nan")
_CONFIRM = "from general tables, confirm with the compound"


@dataclass(frozen=True, slots=True)
class _Media:
    """The medium with its components, as (row, strength), and the words for the reason."""

    match: Match
    rows: tuple[tuple[int, float], ...]


def _media(medium: str, concentration: float) -> _Media:
    match = recognised(medium, concentration)
    parts = [(p.medium_id, p.concentration) for p in match.parts if p.medium_id is not None and p.role != "cleaning"]
    return _Media(match, ((int(match.medium_id or 0), match.concentration), *((int(n), c) for n, c in parts)))


def _names(rows: tuple[tuple[int, float], ...]) -> str:
    """Names of the rows between which the strengths lie."""
    media = tables.read("media")
    places = [sorted({int(p) for p in np.stack(neighbours(n, c)) if p >= 0}) for n, c in rows]
    return "; ".join(
        " and ".join(media[p]["medium"] for p in near) or media[n - 1]["medium"] for near, (n, _) in zip(places, rows, strict=True)
    )


def _certainty(rows: tuple[tuple[int, float], ...]) -> str:
    media = tables.read("media")
    told = dict.fromkeys(f"{media[n - 1]['certainty']}, {media[n - 1]['elastomer_basis']}" for n, _ in rows)
    return "media table: " + "; ".join(told) + f"; {_CONFIRM}"


def _applies(stop: tables.Row, row: tables.Row) -> bool:
    if stop["ids"] and row["id"] not in stop["ids"].split():
        return False
    if stop["flag"] and row[stop["flag"]] != "yes":
        return False
    return not stop["phases"] or row["phase"] in stop["phases"].split("|")


def stop_rules(medium_id: int) -> tuple[str, ...]:
    """Sentences about what is refused or wanted with a medium, whatever the rubber.

    Parameters
    ----------
    medium_id : int
        Row of media.csv.
    """
    row = tables.read("media")[medium_id - 1]
    return tuple(f"{stop['rule']}: {stop['text']}" for stop in tables.read("medium_stops") if _applies(stop, row))


def _told(note: str, of: str) -> str:
    """The remarks of a row without those on other rubbers and metals."""
    heads = {row["liner"] for row in tables.read("liner_codes")} | {row["column"] for row in tables.read("metal_columns")}
    others = tuple(f"{head}:" for head in heads - {of}) + tuple(f"{head} was" for head in heads - {of})
    return " | ".join(part for part in note.split(" | ") if not part.startswith(others))


def _notes(found: _Media, of: str) -> list[str]:
    match = found.match
    shown = [f"{match.text!r} was taken as {match.name}"] if match.guess else []
    asked = [f"to ask: {match.question}"] if match.question else []
    told = [_told(tables.read("media")[n - 1]["note"], of) for n, _ in found.rows]
    return [*dict.fromkeys([*shown, *asked, *(s for n, _ in found.rows for s in stop_rules(n)), *(t for t in told if t)])]


def _heat(temperature: float, limit: float) -> str:
    if math.isnan(limit):
        return ""
    shown = f"{limit - 273.15:.0f} C"
    if math.isnan(temperature):
        return f", to {shown}; no temperature was given"
    return f", to {shown}, here {temperature - 273.15:.0f} C"


@calculation(
    "liner-resistance",
    source="media.csv: general tables from memory, two opinions; elastomers.csv; not signed by a rubber chemist",
    formula="",
    example={"medium": "sulphuric acid 98 %", "liner": "CSPE", "temperature": "40 C"},
    each=True,
)
def liner_resistance(
    medium: str, liner: str, temperature: float = _NAN, concentration: float = _NAN
) -> tuple[str, float, str, str, list[str]]:
    """How a rubber stands a medium, and what is refused with that medium anyway.

    Parameters
    ----------
    medium : str
        Medium as typed, mixtures with + or /.
    liner : str
        Rubber as typed (old names are translated), or a grade of elastomers.csv.
    temperature : array_like
        Highest temperature [K]
    concentration : array_like
        Strength of the medium, mass share [-]

    Returns
    -------
    rating : str
        A resists, B conditional, C no, unknown; the worst of a mixture, and of both neighbours between two listed strengths.
    limit : float
        Temperature up to which the letter of the row holds [K]; nan where the row itself says C, or nothing.
    reason : str
        Which row, which letter, which limit.
    basis : str
        On what the letter rests.
    notes : list of str
        Stop rules of the medium, what was guessed, what to ask.
    """
    letters = elastomers.liner_letters(liner)
    found = _media(medium, concentration)
    answers = [liner_rating(n, liner, temperature, c) for n, c in found.rows]
    rating = int(worst(np.array([int(a[0]) for a in answers])))
    known = [float(a[1]) for a in answers if not math.isnan(float(a[1]))]
    limit = min(known) if known and len(known) == len(answers) else _NAN
    what = _names(found.rows)
    told = {UNKNOWN: f"nothing is known of {letters} in {what}", C: f"{letters} does not stand {what}"}
    reason = told.get(rating, f"{letters} in {what}: {LETTERS[rating]}") + _heat(temperature, limit)
    if letters != liner:
        reason += f"; {liner} read as {letters}, grade {elastomers.default_grade(liner)}"
    return LETTERS[rating], limit, reason, _certainty(found.rows), _notes(found, letters)


@calculation(
    "metal-resistance",
    source="media.csv: general tables from memory, two opinions",
    formula="",
    example={"medium": "sea water", "metal": "CF8M", "temperature": "36 C"},
    each=True,
)
def metal_resistance(medium: str, metal: str, temperature: float = _NAN, concentration: float = _NAN) -> tuple[str, str, str, list[str]]:
    """How a metal, coated or covered disc stands a medium, and what is refused with that medium anyway.

    Parameters
    ----------
    medium : str
        Medium as typed, mixtures with + or /.
    metal : str
        Metal or coat as typed: key of the body table, grade, or a word of the trade.
    temperature : array_like
        Highest temperature [K]
    concentration : array_like
        Strength of the medium, mass share [-]

    Returns
    -------
    rating : str
        A resists, B conditional, C no, unknown; the worst of a mixture, and of both neighbours between two listed strengths.
    reason : str
        Which row, which letter, which column.
    basis : str
        On what the letter rests.
    notes : list of str
        Stop rules of the medium, what was guessed, what to ask.
    """
    key = metal_key(metal)
    row = metal_column(key)
    found = _media(medium, concentration)
    rating = int(worst(np.array([int(metal_rating(n, key, temperature, c)) for n, c in found.rows])))
    reason = f"{key} in {_names(found.rows)}: {LETTERS[rating]}"
    if row["column"] == "none":
        reason = row["remark"]
    elif row["near"] == "near":
        reason += f" (nearest column {row['column']}: {row['remark']})"
    return LETTERS[rating], reason, _certainty(found.rows), _notes(found, row["column"])


def _plain(word: str) -> str:
    return "".join(c for c in word.casefold() if c.isalnum())


def metal_key(word: str) -> str:
    """Key of the metal table for a metal as typed.

    Parameters
    ----------
    word : str
        Metal or coat as typed.
    """
    keys = {_plain(row["key"]): row["key"] for row in tables.read("metal_columns")}
    typed = {_plain(row["typed"]): row["key"] for row in tables.read("steel_names")}
    key = keys.get(_plain(word)) or typed.get(_plain(word))
    if key is None:
        raise UnknownName(f"metal {word!r} is not known; known are {', '.join(keys.values())} and the names of the trade for them")
    return key
