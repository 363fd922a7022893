"""One heading of a schedule: which fields it may mean, and the unit that it tells."""

import functools
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from rapidfuzz import fuzz, process

from softseat.enquiry.fieldtable import columns, inside_unit
from softseat.enquiry.folding import fold, words
from softseat.tables import index, read
from softseat.units import find, known

_ALIASES = {"_position": "position", "_remarks": "remarks", "_unit": "unit", "_line_no": "line_number", "_tag": "tag"}
_NEVER_NEAR = ("medium", "fail", "p_min", "_unit", "unit")  # one wrong letter there kills
_NEAR_ENOUGH = 88
_FIELDS = {
    "flow": {"low": "flow_min", "normal": "flow", "high": "flow_max", "design": "flow_max"},
    "pressure": {"low": "p_min", "normal": "p1", "high": "p_max", "design": "p_design", "before": "p1", "behind": "p2"},
    "temperature": {"low": "t_min", "normal": "t_normal", "high": "t_max", "design": "t_max", "before": "t_normal", "behind": "t_normal"},
    "difference": {"low": "drop", "normal": "drop", "high": "shutoff", "design": "shutoff"},
}
_OWN = {"flow": "flow", "pressure": "p1", "temperature": "t_max", "difference": "drop"}
BY_UNIT = "by its unit"  # nothing else tells: believed only where no other column holds that quantity
_COMPOSED = ("pressure", "temperature", "flow", "mass_flow")  # dimensions of the headings that are put together
_ALONE = {"flow": ("flow",), "pressure": ("p1", "p_max"), "temperature": ("t_max", "t_normal"), "difference": ("drop", "shutoff")}
_EXTRA = {"flow": ("mass_flow",), "viscosity": ("kinematic viscosity",)}


@dataclass(frozen=True, slots=True)
class Heading:
    """What a heading may mean, the likeliest first; empty where it is not known."""

    candidates: tuple[tuple[str, ...], ...] = ()
    unit: str = ""
    how: str = "not known"


UNKNOWN = Heading()


@functools.cache
def _synonyms() -> Mapping[str, tuple[str, ...]]:
    """Fields by folded heading, the sure ones first."""
    sure: dict[str, list[str]] = {}
    doubtful: dict[str, list[str]] = {}
    for row in read("heading_synonyms"):
        into = doubtful if row["ambiguous"] == "yes" else sure
        into.setdefault(fold(row["heading"]), []).append(row["key"])
        if row["ambiguous"] == "yes":
            doubtful.setdefault(fold(row["heading"]), []).extend(row["also_may_be"].split())
    merged = {name: sure.get(name, []) + doubtful.get(name, []) for name in {**sure, **doubtful}}
    return {name: tuple(dict.fromkeys(_ALIASES.get(k, k) for k in keys)) for name, keys in merged.items()}


@functools.cache
def _roles() -> Mapping[str, str]:
    return {fold(word): row["role"] for word, row in index("heading_words", "word").items()}


_METRES = re.compile(
    r"\b(?:head|h.he|hauteur|altura|carga|prevalenza|hoogte)\b.*\bm\b|[(\[]\s*m\s*[)\]]", re.I
)  # of water, where a pressure is meant


@functools.lru_cache(maxsize=8192)
def heading(text: str) -> Heading:
    """The meaning of one heading: as it stands, without its unit, put together from words, in parts, or nearly spelt."""
    text = " ".join(text.split())
    if not text or not re.search(r"[^\W\d_]|[#Øø%]", text):
        return UNKNOWN
    composed = _composed(text)
    if composed and (len(composed.candidates[0]) > 1 or not _as_spelt(text)):
        return composed
    return _direct(text) or _without_unit(text) or composed or _parts(text) or _near(text) or by_a_word(text) or _short(text) or UNKNOWN


@functools.cache
def _spelt() -> frozenset[tuple[str, ...]]:
    return frozenset(words(row["heading"]) for row in read("heading_synonyms"))


def _as_spelt(text: str) -> bool:
    """Whether the list holds these very words: ``Op T`` is not the ``Opt.`` that it folds to."""
    bare = re.sub(r"\s*[(\[][^)\]]*[)\]]\s*", " ", text)
    parts = bare.split()
    without = [" ".join(parts[:-n]) for n in (1, 2, 3) if len(parts) > n and find(" ".join(parts[-n:]), *_COMPOSED)]
    return any(words(t) in _spelt() for t in (text, bare, *without))


def _direct(text: str) -> Heading | None:
    fields = _synonyms().get(fold(text))
    if not fields:
        return None
    return Heading(tuple((f,) for f in fields), next(filter(None, (_told(text, f) for f in fields)), ""), "exact")


def dimensions(field: str) -> tuple[str, ...]:
    """The dimensions that a unit of this field may have."""
    if columns().get(field) != "number":
        return ()
    return (known(inside_unit(field)).dimension, *_EXTRA.get(field.partition("_")[0], ()))


def _told(text: str, field: str) -> str:
    """The unit of a heading that stands in brackets, behind the word, or is the whole heading."""
    tail = text.split()
    typed = [
        *re.findall(r"[(\[]([^()\[\]]*(?:\([^()]*\))?)[)\]]", text),
        text,
        *(" ".join(tail[-n:]) for n in (3, 2, 1)),
        *tail[:1],  # PSIG OPER
        *re.split(r"[/,]", text)[1:],
    ]
    for part in (t.strip().removeprefix("in ") for t in typed):
        if sign := unit_of(part, field):
            return sign
    return "m head" if _METRES.search(text) and "pressure" in dimensions(field) else ""


def unit_of(text: str, field: str) -> str:
    """The unit that a text names for this field; for sizes and ratings the system that it names."""
    low = fold(text)
    if field == "size":
        return (
            "in"
            if low in ("in", "inch", "inches", "nps", '"', "zoll", "pulg", "pouce", "pollici")
            else "DN"
            if low in ("dn", "mm", "nb", "nw", "ø")
            else ""
        )
    if field == "rating":
        return (
            "PN"
            if low in ("pn", "np", "nd", "bar")
            else "Class"
            if low in ("class", "clase", "classe", "klasse", "lb", "lbs", "#", "ansi", "ansiclass", "asa")
            else ""
        )
    if field in ("opening", "concentration") and "%" in low:
        return "%"
    dims = dimensions(field)
    unit = find(text, *dims) if dims and text else None
    if unit is None or unit.name == "-":
        return ""
    return "" if unit.name == "m head" and low == "m" and len(text) < 2 else unit.name


def _without_unit(text: str) -> Heading | None:
    """The heading without brackets, else without its last words where these are the unit of what is left."""
    bare = re.sub(r"\s*[(\[][^()\[\]]*(?:\([^()]*\))?[)\]]\s*", " ", text).strip(" ,:-/")
    tries = [(bare, "")] if bare != text else []
    for parts in (re.split(r"[\s,]+", text), re.split(r"[\s,]+", bare), bare.split("/", 1)):
        tries += [(" ".join(parts[:-n]), " ".join(parts[-n:]).removeprefix("in ")) for n in (1, 2, 3) if len(parts) > n]
    for left, tail in tries:
        fields = _synonyms().get(fold(left), ()) if left else ()
        units = {f: unit_of(tail, f) if tail else _told(text, f) for f in fields}
        told = [f for f in fields if units[f]]
        if fields and (not tail or told):
            ordered = told + [f for f in fields if f not in told]
            return Heading(tuple((f,) for f in ordered), units[ordered[0]], "exact, unit apart")
    return None


def _composed(text: str) -> Heading | None:
    """``Press op/des barg``: one quantity, the roles of its values in their order, a unit; every word must be known."""
    inside = re.sub(r"Δ\s*P|delta\s+p\b", "dp", text, flags=re.I)
    typed = words(re.sub(r"[(\[][^()\[\]]*\)?[)\]]", _kept_roles, inside))
    roles = [(w, _role(w)) for w in typed]
    if not re.search(r"[/,&-]", text) and any(r in ("low", "high", "design") for _, r in roles):
        roles = [(w, "filler" if r == "normal" else r) for w, r in roles]  # "max. operating pressure" is one value
    quantities = list(dict.fromkeys(r for _, r in roles if r in _OWN))
    if "difference" in quantities:
        quantities = ["difference"]
    if len(quantities) != 1:
        return None
    quantity = quantities[0]
    left = "".join(w for w, r in roles if not r)
    if left and not unit_of(left, _OWN[quantity]):
        return None
    by_role = _FIELDS[quantity]
    fields = tuple(dict.fromkeys(by_role[r] for _, r in roles if r in by_role))
    unit = _told(text, _OWN[quantity]) or (unit_of(left, _OWN[quantity]) if left else "")
    alone = tuple((f,) for f in _ALONE[quantity])
    return Heading((fields,) if fields else alone, unit, "put together") if fields or left or len(typed) > 1 else None


def _role(word: str) -> str:
    """The role of a word; a long one may be misspelt."""
    role = _roles().get(word, "")
    if role or len(word) < 7:
        return role
    near = process.extractOne(word, _roles().keys(), scorer=fuzz.ratio, score_cutoff=_NEAR_ENOUGH)
    return _roles()[near[0]] if near else ""


def _kept_roles(found: re.Match[str]) -> str:
    """Brackets that hold roles stay; those with a unit go."""
    return f" {found.group()[1:-1]} " if any(w in _roles() for w in words(found.group())) else " "


def _parts(text: str) -> Heading | None:
    """``Body/Disc/Seat``: each part a heading of its own."""
    pieces = [p.strip() for p in re.split(r"\s*[/&+]\s*|\s+(?:and|und|et|y|e|en)\s+", text) if p.strip()]
    found = [_direct(p) or _without_unit(p) for p in pieces]
    if len(pieces) < 2 or not all(found):
        return None
    fields = tuple(f.candidates[0][0] for f in found if f)
    return Heading((fields,), "", "in parts") if len(set(fields)) == len(fields) else Heading((fields[:1],), "", "in parts")


def _near(text: str) -> Heading | None:
    """A slip of the pen, never where a wrong letter would change the medium, the fail position or a vacuum."""
    name = fold(text)
    if len(name) < 5:
        return None
    known_names = [n for n, keys in _synonyms().items() if len(n) > 4 and not set(keys) & set(_NEVER_NEAR)]
    best = process.extractOne(name, known_names, scorer=fuzz.ratio, score_cutoff=_NEAR_ENOUGH)
    if best is None:
        return None
    return Heading(tuple((f,) for f in _synonyms()[best[0]]), _told(text, _synonyms()[best[0]][0]), f"near, {best[1]:.0f} of 100")


@functools.cache
def _long_words() -> tuple[tuple[str, str], ...]:
    return tuple((row["word"], row["field"]) for row in read("heading_long_words"))


def _short(text: str) -> Heading | None:
    """``SVC``, ``BDY``, ``OPR``: the consonants of a word; the cells confirm."""
    name = fold(text)
    if not re.fullmatch(r"[a-z][b-df-hj-np-tv-z]{1,3}", name):
        return None
    fits = tuple(dict.fromkeys(f for word, f in _long_words() if word[0] == name[0] and _inside(name, word)))
    return Heading(tuple((f,) for f in fits), "", f"short for {fits[0].replace('_', ' ')}") if fits else None


def _inside(short: str, word: str) -> bool:
    """Whether the letters of the one stand in the other in their order."""
    rest = iter(word)
    return all(letter in rest for letter in short)


@functools.cache
def _keywords() -> tuple[tuple[str, bool, tuple[str, ...]], ...]:
    """Beginnings of words, the longest first: the word, whether the whole word is meant, the fields."""
    rows = [(row["word"].lstrip("="), row["word"].startswith("="), tuple(row["fields"].split())) for row in read("heading_keywords")]
    return tuple(sorted(rows, key=lambda r: -len(r[0])))


def by_a_word(text: str) -> Heading | None:
    """A heading that is in no list, by the first word that gives it away, or by its unit; the cells decide between the fields."""
    typed = words(text)
    found: list[str] = []
    for word in typed:
        for known_word, whole, fields in _keywords():
            if word == known_word or (not whole and len(known_word) > 2 and word.startswith(known_word)):
                if fields == ("never",) and "design" in map(_role, typed):
                    break  # "test/design bar" is the design pressure
                if fields == ("never",):
                    return None
                found += fields
                break
    ordered = [*(f for q, f in _OWN.items() if _told(text, f) and (f in found or (not found and len(fold(text)) > 2))), *found]
    kept = tuple(dict.fromkeys(f for f in _by_roles(typed, ordered) if f in columns()))
    if not kept:
        return None
    how = "by a word in it" if found or any(map(_role, typed)) else BY_UNIT
    return Heading(tuple((f,) for f in kept), next(filter(None, (_told(text, f) for f in kept)), ""), how)


def _by_roles(typed: Sequence[str], fields: Sequence[str]) -> list[str]:
    """Pressure, temperature and flow by the role word that stands beside them (max, design, min)."""
    told = [_role(w) for w in typed]
    role = next((r for r in ("design", "high", "low") if r in told), "")
    quantity = {"p1": "pressure", "p_max": "pressure", "t_max": "temperature", "t_normal": "temperature", "flow": "flow"}
    first = [_FIELDS[quantity[f]][role] for f in fields if role and f in quantity]
    return [*first, *fields]


@functools.lru_cache(maxsize=4096)
def is_part_of_heading(text: str) -> bool:
    """A cell that a second heading row may hold: a unit, or words of roles."""
    typed = words(text)
    if typed and all(_roles().get(w) for w in typed):
        return True
    if fold(text) in ("dn", "nps", "pn", "class", "nb", "ansi", "qty", "nos"):
        return True
    said = text.strip()  # "MPa(g)" as it stands, "(bar)" without its brackets
    return any(bare and not re.match(r"\d", bare) and find(bare) is not None for bare in (said, said.strip("()[]").strip()))
