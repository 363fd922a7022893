"""Facts of the duty that stand in the buyer's free words: a flag or a number, with the words that say it."""

import functools
import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from softseat import tables
from softseat.sheet import GIVEN, MISSING, Origin, Sheet
from softseat.units import to_si

TEXTS = (
    "service", "remarks", "specification", "excursion", "accessories", "installation", "storage", "inspection", "spares", "operator",
    "medium", "approvals", "test_standard", "leakage", "certificates", "elastomer_certificates", "liner", "straight_upstream",
    "straight_downstream", "body_style", "flange_face", "pipe_system", "cycles", "chlorine", "duty", "opening", "insulation",
    "removable_side", "fail", "state",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Fact:
    name: str
    columns: tuple[str, ...]
    pattern: re.Pattern[str]
    unless: re.Pattern[str] | None
    unit: str  # "" for a flag
    field: str = ""  # the field of the enquiry that it answers where its own cell is empty; "name=word" for a flag


@functools.cache
def facts() -> tuple[Fact, ...]:
    """Every fact that is looked for, in file order."""
    return tuple(
        Fact(
            row["fact"],
            TEXTS if row["in"] == "*" else _columns_of(row["in"], row["field"]),
            re.compile(row["pattern"]),
            re.compile(row["unless"]) if row["unless"] else None,
            "" if row["kind"] == "flag" else row["kind"],
            row["field"],
        )
        for row in tables.read("fact_words")
    )


def _columns_of(told: str, field: str) -> tuple[str, ...]:
    """The columns to search; what may stand in the remarks may stand behind the operator too ("gear, in chamber")."""
    named = told.split()
    beside = "remarks" in named and "operator" not in named and not field.startswith("operator=")
    return (*named, "operator") if beside else tuple(named)


def folded(text: str) -> str:
    """Lower case, without accents, blanks single, decimal commas as points."""
    plain = unicodedata.normalize("NFKD", text.replace("ß", "ss")).encode("ascii", "ignore").decode().lower()
    return re.sub(r"(?<=\d),(?=\d)", ".", " ".join(plain.split()))


@functools.lru_cache(maxsize=65536)
def found(fact: Fact, text: str) -> tuple[float, str] | None:
    """The number (1 for a flag) and the words of a fact in one folded text; None where it does not stand there."""
    match = fact.pattern.search(text)
    if match is None or (fact.unless and fact.unless.search(text)):
        return None
    if not fact.unit:
        return 1.0, match.group(0)
    number = next((g for g in match.groupdict().values() if g), None)
    return None if number is None else (_si(float(number), fact.unit), match.group(0))


PLAIN = ("D", "DN", "months", "y", "zone", "pH", "1/y")
SPECIAL = {"/day": (365.0, 0.0), "SG": (999.1, 0.0), "barg": (1e5, 101325.0)}  # factor and offset to the unit inside


def _si(value: float, unit: str) -> float:
    if unit in PLAIN:
        return value
    factor, offset = SPECIAL.get(unit, (0.0, 0.0))
    return value * factor + offset if factor else float(to_si(value, unit))


def read_facts(sheet: Sheet) -> Sheet:
    """The Sheet with a column for each fact: bool for a flag, float (nan where not said) for a number, with the words as origin."""
    size = len(sheet)
    values: dict[str, np.ndarray] = {}
    state: dict[str, np.ndarray] = {}
    origin: dict[tuple[int, str], Origin] = {}
    columns = _columns(sheet)
    for fact in facts():
        number = np.full(size, np.nan)
        for column in fact.columns:
            _search(fact, column, columns.get(column, {}), number, origin, sheet)
        said = ~np.isnan(number)
        values[fact.name] = number if fact.unit else said
        # what is not said is taken as not so: a flag is always known, a number is not
        state[fact.name] = np.where(said, GIVEN, MISSING if fact.unit else GIVEN).astype(np.uint8)
    read = Sheet({**sheet.values, **values}, {**sheet.state, **state}, {**sheet.origin, **origin}, sheet.why)
    return _answered(read)


def _answered(sheet: Sheet) -> Sheet:
    """The Sheet in which a fact answers its field where the field's own cell is empty; the words are the value's origin."""
    moved: dict[tuple[int, str], Origin] = {}
    for fact in facts():
        if not fact.field:
            continue
        name, _, word = fact.field.partition("=")
        said = sheet[fact.name] if word else ~np.isnan(sheet[fact.name])
        empty = (sheet[name] == "") if sheet[name].dtype.kind == "U" else np.isnan(sheet[name])
        here = said & empty
        if here.any():
            sheet = sheet.filling(name, here, word or sheet[fact.name], GIVEN)
            for n in np.flatnonzero(here).tolist():
                if (n, fact.name) in sheet.origin:
                    moved[n, name] = sheet.origin[n, fact.name]
    return Sheet(sheet.values, sheet.state, {**sheet.origin, **moved}, sheet.why)


def _columns(sheet: Sheet) -> Mapping[str, Mapping[str, list[int]]]:
    """For each column its distinct folded texts, as typed where the cell is known, and the items that carry them."""
    typed: dict[str, dict[str, list[int]]] = {name: {} for name in TEXTS}
    for (n, name), cell in sheet.origin.items():
        if name in typed and cell.text:
            typed[name].setdefault(cell.text, []).append(n)
    for name in TEXTS:
        if name in sheet and sheet[name].dtype.kind == "U":
            _add_untyped(sheet[name], typed[name])
    return {name: _fold(texts) for name, texts in typed.items()}


def _add_untyped(values: np.ndarray, texts: dict[str, list[int]]) -> None:
    seen = {n for items in texts.values() for n in items}
    untyped: dict[str, list[int]] = {}
    for n, text in enumerate(values.tolist()):
        if text and n not in seen:
            untyped.setdefault(text, []).append(n)
    for text in sorted(untyped):
        texts.setdefault(text, []).extend(untyped[text])


def _fold(texts: Mapping[str, list[int]]) -> dict[str, list[int]]:
    folds: dict[str, list[int]] = {}
    for text, items in texts.items():
        folds.setdefault(folded(text), []).extend(items)
    return folds


def _search(
    fact: Fact,
    column: str,
    texts: Mapping[str, list[int]],
    number: np.ndarray,
    origin: dict[tuple[int, str], Origin],
    sheet: Sheet,
) -> None:
    for text, items in texts.items():
        hit = found(fact, text)
        if hit is None:
            continue
        rows = np.array(items, int)
        fresh = rows[np.isnan(number[rows])]
        number[fresh] = hit[0]
        bare = Origin("", 0, column, hit[1])
        for n in fresh.tolist():
            cell = sheet.origin.get((n, column))
            origin[n, fact.name] = Origin(cell.sheet, cell.row, cell.column, hit[1]) if cell else bare
