"""What flows in each item: rows of the media table, their traits, and what has to be asked about it."""

import functools
import re
from collections import Counter
from dataclasses import dataclass

import numpy as np

from softseat import tables
from softseat.enquiry.facts import folded
from softseat.media.names import find
from softseat.sheet import ASSUMED, DERIVED, GIVEN, MISSING, Sheet

_SPLIT = re.compile(r"[,;/+&]| then | followed by | and | und | puis ")
_CLEANING_NOISE = re.compile(r"^\s*(water|wasser|eau|rinse|sip|none|steam.*|cold rinse|hot|-)?\s*$")
SURE = 0.6  # share from which a cleaning medium counts as named
LONGEST = 6  # media of one valve that are looked at: product, its parts, cleaning


@dataclass(frozen=True, slots=True)
class Profile:
    """What one wording of medium, strength and cleaning means."""

    product: tuple[int, ...]
    cleaning: tuple[int, ...]
    question: str
    guess: str  # the name that was guessed, to be shown; "" where the words were plain
    name: str
    concentration: float


@functools.lru_cache(maxsize=100_000)
def profile(text: str, concentration: float | None, excursion: str) -> Profile:
    """Product, parts and cleaning media of one wording."""
    match = find(text, np.nan if concentration is None else concentration) if text else None
    if match is None:
        return Profile((), _cleaning(excursion), "", "", "", np.nan)
    product = _ids(match.medium_id, *(p.medium_id for p in match.parts if p.role != "cleaning"))[:3]
    cleaning = _ids(*(p.medium_id for p in match.parts if p.role == "cleaning"), *_cleaning(excursion))[:3]
    question = match.question or ("" if product else "what is it: full composition, strength, traces?")
    return Profile(product, cleaning, question, match.name if match.guess else "", match.name or "", float(match.concentration))


def _ids(*found: int | None) -> tuple[int, ...]:
    return tuple(dict.fromkeys(i for i in found if i is not None))


def _cleaning(excursion: str) -> tuple[int, ...]:
    pieces = [p.strip() for p in _SPLIT.split(excursion) if not _CLEANING_NOISE.match(folded(p))]
    found = [find(piece) for piece in pieces]
    return _ids(*(m.medium_id for m in found if m.share >= SURE))[:3]


def identify(sheet: Sheet) -> Sheet:
    """The Sheet with the media of each item as rows of the media table, their traits as flags, and the questions about them."""
    sheet = _from_service(sheet)
    size = len(sheet)
    keys = list(zip(sheet["medium"].tolist(), sheet["concentration"].tolist(), sheet["excursion"].tolist(), strict=True))
    unique: dict[tuple[str, float | None, str], int] = {}
    inverse = np.empty(size, int)
    for i, (text, strength, excursion) in enumerate(keys):
        key = (text, None if np.isnan(strength) else strength, excursion)
        inverse[i] = unique.setdefault(key, len(unique))
    profiles = [profile(*key) for key in unique]
    return _columns(sheet, profiles, inverse)


def _columns(sheet: Sheet, profiles: list[Profile], inverse: np.ndarray) -> Sheet:
    ids = np.full((len(profiles), LONGEST), -1)
    for i, p in enumerate(profiles):
        both = (*p.product, *p.cleaning)[:LONGEST]
        ids[i, : len(both)] = both
    product_count = np.array([len(p.product) for p in profiles], int)
    named = product_count[inverse] > 0
    sheet = sheet.adding(
        np.where(named, DERIVED, MISSING).astype(np.uint8),
        medium_id=np.where(named, ids[inverse, 0], np.nan),
        **{f"medium_id_{k}": ids[inverse, k].astype(float) for k in range(LONGEST)},
        **_traits(ids, product_count, inverse),
    )
    strength = np.array([p.concentration for p in profiles], float)[inverse]
    taken = np.where(np.isnan(sheet["concentration"]), strength, sheet["concentration"])
    state = np.where(np.isnan(taken), MISSING, np.where(sheet.state["concentration"] == GIVEN, GIVEN, DERIVED))
    sheet = sheet.adding(state.astype(np.uint8), concentration=taken)
    total = np.array([len({*p.product, *p.cleaning}) for p in profiles], float)
    sheet = sheet.adding(
        DERIVED,
        product_count=product_count[inverse].astype(float),
        media_count=np.array([max(1, 1 + len(p.cleaning)) for p in profiles], float)[inverse],
        media_total=total[inverse],
        medium_question=np.array([p.question for p in profiles], dtype="U160")[inverse],
        medium_name=np.array([p.name for p in profiles], dtype="U120")[inverse],
    )
    why = dict(sheet.why)
    for n in np.flatnonzero(np.array([bool(p.guess) for p in profiles], bool)[inverse]):
        why.setdefault((int(n), "medium"), f'"{sheet["medium"][n]}" taken as {profiles[inverse[n]].guess}')
    return Sheet(sheet.values, sheet.state, sheet.origin, why)


@functools.cache
def _trait_table() -> dict[str, np.ndarray]:
    highest = max(int(r["id"]) for r in tables.read("media")) + 2
    found = {}
    for row in tables.read("media_traits"):
        flags = np.zeros(highest, bool)  # the last place stands for "no medium" (-1)
        flags[[int(i) for i in row["ids"].split()]] = True
        found[row["trait"]] = flags
    return found


PRODUCT_ONLY = ("potable", "food", "aqueous", "steam", "compressed_air", "oily_air", "fire_water", "sea_water", "wet_iron", "scaling", "liquefied")


def _traits(ids: np.ndarray, product_count: np.ndarray, inverse: np.ndarray) -> dict[str, np.ndarray]:
    is_product = np.arange(ids.shape[1])[None, :] < product_count[:, None]
    found = {}
    for trait, flags in _trait_table().items():
        hits = flags[ids]
        found[f"is_{trait}"] = np.any(hits & is_product if trait in PRODUCT_ONLY else hits, axis=1)[inverse]
    found["oily_air"] = found["is_oily_air"]
    return found


def _from_service(sheet: Sheet) -> Sheet:
    """Where no medium is given: read from the service, else the water of the other rows; always as an assumption."""
    empty = np.flatnonzero((sheet["medium"] == "") & (sheet["service"] != ""))
    if not len(empty):
        return sheet
    medium = sheet["medium"].astype("U160").copy()
    state = sheet.state["medium"].copy()
    why = dict(sheet.why)
    by_service = {s: _read_service(s) for s in np.unique(sheet["service"][empty])}
    water = _plant_water(sheet, by_service)
    for n in empty:
        named, reason = by_service[sheet["service"][n]]
        if named == "plant_water":
            named, reason = water, f"not named; taken as {water}, the water of this schedule"
        if named:
            medium[n], state[n] = named, ASSUMED
            why[int(n), "medium"] = reason
    return Sheet({**sheet.values, "medium": medium}, {**sheet.state, "medium": state}, sheet.origin, why)


@functools.lru_cache(maxsize=20_000)
def _read_service(service: str) -> tuple[str, str]:
    match = find(service)
    if match.medium_id is not None and match.share >= 0.75 and not match.guess:
        return service, f'read from the service "{service}"'
    plain = folded(service)
    for row in tables.read("service_media"):
        if re.search(row["pattern"], plain):
            return row["medium"], f"read from the service: {row['why']}"
    return "", ""


def _plant_water(sheet: Sheet, by_service: dict[str, tuple[str, str]]) -> str:
    named = Counter()  # type: ignore[var-annotated]
    texts = [*sheet["medium"].tolist(), *(by_service[s][0] for s in sheet["service"].tolist() if s in by_service)]
    group = {int(r["id"]): r["medium"] for r in tables.read("media") if r["group"] == "water" and r["phase"] == "liquid"}
    for text in texts:
        if text and text != "plant_water" and (found := find(text)).medium_id in group:
            named[found.name or ""] += 1
    if not named:
        return "service water"
    if any("sea water" in n for n in named):
        return "sea water"  # the worst water of the schedule, until somebody says otherwise
    return str(named.most_common(1)[0][0])


