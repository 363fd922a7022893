"""What flows in each item: rows of the media table, their traits, and what has to be asked about it."""

import functools
import re
from collections import Counter
from dataclasses import dataclass

import numpy as np

from softseat import tables
from softseat.enquiry.facts import folded
from softseat.media.names import NOTHING, Match, Part, find
from softseat.sheet import ASSUMED, DERIVED, GIVEN, MISSING, Sheet

_SPLIT = re.compile(r",(?!\d)|[;/+&]| then | followed by | and | und | puis ")
_CLEANING_NOISE = re.compile(r"^\s*(water|wasser|eau|rinse|sip|none|steam.*|cold rinse|hot|-)?\s*$")
_HEAT = re.compile(r"(\d+(?:\.\d+)?) ?(?:c|grad|deg c|degc)\b")
_PLACE = re.compile(r"\b(tank|vessel|outlet|inlet|vent|drain|bottom|return|supply|discharge|header|bypass|silo|pump|line)\b")
_FROM = re.compile(r"\s(?:from|ex|out of|aus dem|aus der)\s+(?!\d)[^,;(]*", re.I)  # biogas from a vinasse digester is biogas
_TOWARDS = re.compile(r"(?<!\bup)(?<!\bdue)\s(?:to|into|zum|zur|vers|hacia)\s+(?!\d).*", re.I)
WEAK = 0.03  # mass share up to which caustic or nitric acid is a cleaning solution
CLEANING_ROWS = {110: 124, 247: 124, 88: 125, 353: 125}  # caustic, nitric acid -> their cleaning solutions
SLURRY = 0.02  # mass share of solids from which a line without a medium is a slurry
SURE = 0.6  # share from which a cleaning medium counts as named
PLAIN = 0.78  # share from which a medium counts as named, though something about it is still asked
PLAIN_WHATEVER_STRENGTH = 0.55  # the same where only the strength is open, and it turns no usual liner or disc from standing to not
USUAL = ("EPDM_rating", "NBR_rating", "HNBR_rating", "FKM_rating", "CF8M_316", "flammable")
TRACE_GAS = 0.01  # mass share below which a gas in another is a trace
TRACE = 0.0005  # the same of a liquid that is not toxic
LONGEST = 6  # media of one valve that are looked at: product, its parts, cleaning


@dataclass(frozen=True, slots=True)
class Profile:
    """What one wording of medium, strength and cleaning means."""

    product: tuple[int, ...]
    cleaning: tuple[int, ...]
    heat: tuple[float, ...]  # temperature of each cleaning medium [K]; nan: as its row of the table is named
    question: str
    loose: bool  # named too loosely to be decided (R014): the question comes first
    guess: str  # the name that was guessed, to be shown; "" where the words were plain
    name: str
    concentration: float


@functools.lru_cache(maxsize=100_000)
def profile(text: str, concentration: float | None, excursion: str) -> Profile:
    """Product, parts and cleaning media of one wording."""
    text = _coming(text)
    match = find(text, np.nan if concentration is None else concentration) if text else None
    if match is None:
        return Profile((), *_cleaning(excursion), "", False, "", "", np.nan)
    product = _ids(match.medium_id, *(p.medium_id for p in match.parts if p.role != "cleaning" and not _trace(p)))[:3]
    cells, heat = _cleaning(excursion)
    named = _ids(*(p.medium_id for p in match.parts if p.role == "cleaning"))
    cleaning = _ids(*cells, *named)[:3]
    heat = (*heat, *(np.nan for _ in cleaning))[: len(cleaning)]
    question = match.question or _doubt(match, bool(product))
    open_part = any(p.medium_id is None and p.role == "component" for p in match.parts)
    plain = match.share >= PLAIN or (match.share >= PLAIN_WHATEVER_STRENGTH and _alike(match))
    loose = not (product and plain) or open_part
    return Profile(
        product,
        cleaning,
        heat,
        question,
        loose and bool(question),
        match.name if match.guess else "",
        match.name or "",
        float(match.concentration),
    )


def _trace(part: Part) -> bool:
    """Some ppm in another (hydrogen sulphide in biogas, peel oil in juice): the rules on traces speak of it, it is not the medium."""
    row = tables.index("media", "id").get(str(part.medium_id), {})
    if row.get("phase") == "gas":
        return part.concentration < TRACE_GAS
    return row.get("toxic") not in ("yes", "depends") and part.concentration < TRACE


def _doubt(match: Match, found: bool) -> str:
    """The question about a name that was found by part of its letters or words only, or not at all."""
    if not found:
        return "what is it: full composition, strength, traces?"
    return f"is it {match.name}? Else: full composition, strength, traces" if match.share < SURE else ""


def _alike(match: Match) -> bool:
    """Whether only the strength is asked, and no usual material stands in one strength and not in another."""
    if match.vague or not match.question.startswith("what strength"):
        return False
    rows = [r for r in tables.read("media") if int(r["id"]) in match.candidates]
    return all(len({r[name] in ("C", "yes") for r in rows}) == 1 for name in USUAL)


def _coming(text: str) -> str:
    """What flows, without where it flows to: chlorine to potable water is chlorine, steam to the hot-water heater is steam."""
    head = _TOWARDS.sub("", text).strip()
    text = head if head and head != text and find(head).how != NOTHING else text
    source = _FROM.sub("", text).strip()
    return source if source and source != text and find(text).share < PLAIN <= find(source).share else text


def _ids(*found: int | None) -> tuple[int, ...]:
    return tuple(dict.fromkeys(i for i in found if i is not None))


def _cleaning(excursion: str) -> tuple[tuple[int, ...], tuple[float, ...]]:
    """Media that clean or sterilise, and how hot each is said to be."""
    found: dict[int, float] = {}
    for piece in (p.strip() for p in _SPLIT.split(excursion)):
        if _CLEANING_NOISE.match(folded(piece)):
            continue
        match = find(piece)
        row = _weak(match)
        if row is not None and match.share >= SURE:
            heat = _HEAT.search(folded(piece))
            found.setdefault(row, float(heat.group(1)) + 273.15 if heat else np.nan)
    return tuple(found)[:3], tuple(found.values())[:3]


def _weak(plain: Match) -> int | None:
    """Caustic or nitric acid that cleans is the weak cleaning solution of the table, not the plant chemical, unless said to be strong."""
    strong = plain.concentration > WEAK
    return plain.medium_id if strong or plain.medium_id is None else CLEANING_ROWS.get(plain.medium_id, plain.medium_id)


def identify(sheet: Sheet) -> Sheet:
    """The Sheet with the media of each item as rows of the media table, their traits as flags, and the questions about them."""
    sheet = _from_service(sheet)
    strengths = [None if np.isnan(c) else c for c in sheet["concentration"].tolist()]
    unique: dict[tuple[str, float | None, str], int] = {}
    keys = zip(sheet["medium"].tolist(), strengths, sheet["excursion"].tolist(), strict=True)
    inverse = np.array([unique.setdefault(key, len(unique)) for key in keys], int)
    profiles = [profile(*key) for key in unique]
    return _columns(sheet, profiles, inverse)


def _columns(sheet: Sheet, profiles: list[Profile], inverse: np.ndarray) -> Sheet:
    ids = np.full((len(profiles), LONGEST), -1)
    heat = np.full((len(profiles), LONGEST), np.nan)
    for i, p in enumerate(profiles):
        both = (*p.product, *p.cleaning)[:LONGEST]
        ids[i, : len(both)] = both
        for k, hot in enumerate(p.heat, start=len(p.product)):
            heat[i, k] = hot
    product_count = np.array([len(p.product) for p in profiles], int)
    named = product_count[inverse] > 0
    sheet = sheet.adding(
        np.where(named, DERIVED, MISSING).astype(np.uint8),
        medium_id=np.where(named, ids[inverse, 0], np.nan),
        **{f"medium_id_{k}": ids[inverse, k].astype(float) for k in range(LONGEST)},
        **{f"medium_heat_{k}": heat[inverse, k] for k in range(LONGEST)},
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
        medium_loose=np.array([p.loose for p in profiles], bool)[inverse],
        medium_question=np.array([p.question for p in profiles], dtype=np.str_)[inverse],
        medium_name=np.array([p.name for p in profiles], dtype=np.str_)[inverse],
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


PRODUCT_ONLY = (
    "potable",
    "food",
    "aqueous",
    "steam",
    "compressed_air",
    "oily_air",
    "fire_water",
    "sea_water",
    "wet_iron",
    "scaling",
    "liquefied",
)


def _traits(ids: np.ndarray, product_count: np.ndarray, inverse: np.ndarray) -> dict[str, np.ndarray]:
    is_product = np.arange(ids.shape[1])[None, :] < product_count[:, None]
    found = {}
    for trait, flags in _trait_table().items():
        hits = flags[ids]
        found[f"is_{trait}"] = np.any(hits & is_product if trait in PRODUCT_ONLY else hits, axis=1)[inverse]
    found["oily_air"] = found["is_oily_air"]
    return found


def _from_service(sheet: Sheet) -> Sheet:
    """Where no medium is given, or its cell names a place: read from the service, else what other rows carry; an assumption always."""
    place, empty = _unnamed(sheet)
    if not len(empty):
        return sheet
    medium = sheet["medium"].astype("U160").copy()
    state = sheet.state["medium"].copy()
    why = dict(sheet.why)
    by_service = {s: _read_service(s) for s in np.unique(place[empty])}
    usual = str(sheet["usual_medium"][0]) if "usual_medium" in sheet else _usual(sheet, by_service)
    for n in empty:
        named, reason = by_service[place[n]]
        if named in ("", "plant_water") and sheet["solids"][n] > SLURRY:
            named, reason = "sand-water", "not named, but its solids are: taken as a slurry of sand until somebody says what it is"
        elif named == "plant_water" or (not named and sheet["medium"][n]):
            named, reason = usual, f"not named; taken as {usual}, which other lines of this schedule carry"
        if named:
            medium[n], state[n] = named, ASSUMED
            why[int(n), "medium"] = reason
    return Sheet({**sheet.values, "medium": medium}, {**sheet.state, "medium": state}, sheet.origin, why)


def _unnamed(sheet: Sheet) -> tuple[np.ndarray, np.ndarray]:
    """The words that stand for the medium, and the items where they are not its name."""
    place = np.where(sheet["medium"] == "", sheet["service"], sheet["medium"])
    media = sheet["medium"].tolist()
    elsewhere = {word: bool(word) and (_names_a_place(word) or _names_a_duty(word)) for word in set(media)}
    told_elsewhere = np.array([elsewhere[word] for word in media], bool)
    return place, np.flatnonzero((place != "") & ((sheet["medium"] == "") | told_elsewhere))


def usual_medium(sheet: Sheet) -> str:
    """What most lines of the schedule carry; "" where no item needs it."""
    place, empty = _unnamed(sheet)
    return _usual(sheet, {s: _read_service(s) for s in np.unique(place[empty])}) if len(empty) else ""


def _names_a_place(medium: str) -> bool:
    """Whether the cell of the medium says where, not what: tank outlet, vent, drain."""
    return _PLACE.search(folded(medium)) is not None and find(medium).medium_id is None


def _names_a_duty(medium: str) -> bool:
    """Whether the cell of the medium names none, but a duty that the table of services knows: filter air scour, hydrant ring."""
    return find(medium).how == NOTHING and _read_service(medium)[0] not in ("", "plant_water")


@functools.lru_cache(maxsize=20_000)
def _read_service(service: str) -> tuple[str, str]:
    match = find(_coming(service))
    if match.medium_id is not None and match.share >= SURE:
        return service, f'read from the service "{service}"'
    plain = folded(service)
    for row in tables.read("service_media"):
        if re.search(row["pattern"], plain):
            return row["medium"], f"read from the service: {row['why']}"
    if match.vague and match.question:
        return service, f'read from the service "{service}"'  # too loose a word: its own question is better than "which medium?"
    return "", ""


def _usual(sheet: Sheet, by_service: dict[str, tuple[str, str]]) -> str:
    """What most lines of the schedule carry: a water where waters are named (sea water if it is one of them), else the commonest liquid."""
    media = {int(r["id"]): r for r in tables.read("media") if r["phase"] == "liquid"}
    named: Counter[str] = Counter()
    waters: Counter[str] = Counter()
    texts = Counter(sheet["medium"].tolist())
    for service, count in Counter(sheet["service"].tolist()).items():
        if service in by_service:
            texts[by_service[service][0]] += count
    for text, count in texts.items():
        found = find(text) if text and text != "plant_water" else None
        row = media.get(found.medium_id) if found and found.medium_id is not None else None
        if row is not None:
            (waters if row["group"] == "water" else named)[row["medium"]] += count
    if any("sea water" in n for n in waters):
        return "sea water"  # the worst water of the schedule, until somebody says otherwise
    if sum(waters.values()) >= sum(named.values()):
        return _commonest(waters) if waters else "service water"
    return _commonest(named)


def _commonest(count: Counter[str]) -> str:
    """The word that stands most often; of equal ones the first of the alphabet, so that the order of the rows tells nothing."""
    return min(count, key=lambda word: (-count[word], word))
