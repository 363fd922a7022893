"""The smallest operator that holds at every angle at the bad end of the band, and why the others are not it."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from softseat.errors import InputError
from softseat.operators.power import ATMOSPHERE
from softseat.operators.table import CLOSES, CLOSING, KINDS, OPENING, OPENS, Operators

REASONS = (
    "holds",
    "not the kind asked",
    "does not go to the fail position",
    "top flange does not fit",
    "valve too large for it",
    "air supply above its rating",
    "duty class too low",
    "stroke time does not fit",
    "torque too small",
    "cannot hold against the flow",
    "too strong for the shaft",
)
HOLDS, KIND, FAIL, FLANGE, SIZE, AIR, DUTY, TIME, TORQUE, BACK, SHAFT = range(len(REASONS))
ABSENT = ""
CHUNK = 512  # items at once
MIXED = 8  # supplies that are always kept apart


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is asked of the operator, each over the items; nan or "" where nothing is asked."""

    opening: np.ndarray  # (3, items, angles) [N m]
    closing: np.ndarray  # (3, items, angles), negative where the flow drives [N m]
    air_min: npt.ArrayLike = np.nan  # absolute [Pa]
    air_max: npt.ArrayLike = np.nan  # absolute [Pa]
    shaft_limit: npt.ArrayLike = np.nan  # greatest torque the shaft train may get [N m]
    flange_rung: npt.ArrayLike = -1  # place of the valve's top flange on the ladder
    kind: npt.ArrayLike = ABSENT  # words of KINDS
    fail: npt.ArrayLike = ABSENT  # open, close, stay
    margin: npt.ArrayLike = 1.0  # operator torque over required
    duty: npt.ArrayLike = 0  # rank of the duty class
    stroke_min: npt.ArrayLike = np.nan  # not faster than [s]
    stroke_max: npt.ArrayLike = np.nan  # not slower than [s]
    dn: npt.ArrayLike = np.nan


@dataclass(frozen=True, slots=True)
class Choice:
    """One operator an item, and for each item and operator its margin and why it is not the one."""

    index: np.ndarray  # (items,) place in the table; -1 where none holds
    margin: np.ndarray  # (items,) operator torque over required of the one chosen; nan where none
    margins: np.ndarray  # (items, operators); nan for a kind that nobody asks for, which is not worked out
    reason: np.ndarray  # (items, operators), places in REASONS

    def why_not(self, item: int) -> tuple[str, ...]:
        """The reason in words for each operator of the table."""
        return tuple(REASONS[r] for r in self.reason[item])


def _kinds(words: np.ndarray, operators: Operators) -> np.ndarray:
    """For each word asked the operators of that kind; a modulating drive also does what an on-off one does."""
    unknown = sorted(set(words.tolist()) - set(KINDS) - {ABSENT, "bare_shaft"})
    if unknown:
        raise InputError(f"operator {unknown[0]!r} is not known; allowed are {', '.join(KINDS)}, bare_shaft")
    same = words[:, None] == operators.kind
    also = (words == "electric_onoff")[:, None] & (operators.kind == "electric_modulating")
    return np.asarray((words == ABSENT)[:, None] | same | also)


def _of_cylinders(operators: Operators, wanted: Wanted, rows: np.ndarray, supply: np.ndarray) -> tuple[np.ndarray, ...]:
    """Margin, whether it holds back the flow, and greatest output, for some items and all cylinders; angle by angle, which is quicker.

    ``supply`` is spring, lowest and highest air of these items; where all have the same, what a cylinder gives is worked out once.
    """
    springs, lowest, highest = supply[:, :1] if (supply == supply[:, :1]).all() else supply
    shape = rows.size, len(operators)
    least, holds = np.full(shape, np.inf), np.ones(shape, bool)
    most = np.full((springs.size, len(operators)), -np.inf)
    back = np.maximum(-wanted.closing[0, rows], 0.0)
    needs = wanted.opening[2, rows], wanted.closing[2, rows]
    for angle in range(operators.slope.shape[-1]):
        for way in (OPENING, CLOSING):
            slope, base = (table[:, way, :, angle][springs.astype(int)] for table in (operators.slope, operators.base))
            given = base + slope * lowest[:, None]
            np.minimum(least, _share(np.maximum(given, 0.0), needs[way][:, angle]), out=least)
            np.maximum(most, base + slope * highest[:, None], out=most)
            if way == OPENING:
                holds &= given >= back[:, angle, None]
    return least, holds, np.broadcast_to(most, shape)


def _share(given: np.ndarray, need: np.ndarray) -> np.ndarray:
    """Torque given over torque needed, (items, operators); nothing is needed of one that the flow drives."""
    resists = need > 0
    if resists.all():
        return np.asarray(given / need[:, None])
    share = np.asarray(given / np.where(resists, need, 1.0)[:, None])
    share[~resists] = np.inf
    share[np.isnan(need)] = np.nan
    return share


def _capability(operators: Operators, wanted: Wanted, springs: np.ndarray, air: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Margin, whether it holds back the flow, and greatest output, (items, operators) each."""
    with np.errstate(invalid="ignore", divide="ignore"):
        peak = np.maximum(wanted.opening[2].max(axis=1), wanted.closing[2].max(axis=1))
        driven = np.maximum(-wanted.closing[0].min(axis=1), 0.0)
        margin = operators.flat / np.maximum(peak, 1e-12)[:, None]
        holds = (driven <= 0)[:, None] | operators.holds & (operators.flat >= driven[:, None])
        most = np.broadcast_to(operators.greatest, margin.shape).copy()
        some = np.flatnonzero(np.isnan(operators.flat))
        part, supply = _only(operators, some), np.concatenate([springs[None], air.T])
        for rows in _batches(supply) if some.size else ():
            margin[np.ix_(rows, some)], holds[np.ix_(rows, some)], most[np.ix_(rows, some)] = _of_cylinders(
                part, wanted, rows, supply[:, rows]
            )
    return margin, holds, most


def _batches(supply: np.ndarray) -> Iterator[np.ndarray]:
    """Items a few hundred at once, those of one supply together where that does not make them many."""
    order = np.lexsort(supply)
    sorted_ = supply[:, order]
    other = ((sorted_[:, 1:] != sorted_[:, :-1]) & ~(np.isnan(sorted_[:, 1:]) & np.isnan(sorted_[:, :-1]))).any(axis=0)
    starts = np.flatnonzero(other) + 1
    for group in np.split(order, starts) if starts.size < order.size / CHUNK + MIXED else [order]:
        yield from (group[k : k + CHUNK] for k in range(0, group.size, CHUNK))


def _only(operators: Operators, some: np.ndarray) -> Operators:
    """The table cut down to these operators."""
    columns = {name: getattr(operators, name) for name in Operators.__dataclass_fields__}
    return Operators(**{n: c[:, :, some] if n in ("slope", "base") else c[some] for n, c in columns.items()})


def choose(wanted: Wanted, operators: Operators) -> Choice:
    """For each item the smallest operator that does it, of the first kind in the table that can.

    Parameters
    ----------
    wanted : Wanted
        Torque over the angle with its band, supply, limits and wishes, over the items.
    operators : Operators
        The maker's table.

    Returns
    -------
    choice : Choice
        Index -1 and margin nan where none holds or the required torque is nan.

    Notes
    -----
    Capability at the lowest air against the high end of the required torque times the margin; the low end of friction where
    the flow drives the disc; the highest air against the shaft's limit. A spring closes unless the fail position is open.
    """
    items = wanted.opening.shape[1]
    words, place = np.unique(np.broadcast_to(np.asarray(wanted.kind, str), (items,)), return_inverse=True)
    of_kind = _kinds(words, operators)
    margins = np.full((items, len(operators)), np.nan)
    reason = np.full(margins.shape, KIND, np.uint8)
    for k, kind in enumerate(of_kind):
        rows, some = np.flatnonzero(place == k), np.flatnonzero(kind)
        at = np.ix_(rows, some)
        margins[at], reason[at] = _judged(_of_items(wanted, rows), _only(operators, some))
    return _smallest(reason, margins, operators)


def _of_items(wanted: Wanted, rows: np.ndarray) -> Wanted:
    """What is asked for these items."""
    items = wanted.opening.shape[1]
    columns = {name: np.asarray(getattr(wanted, name)) for name in Wanted.__dataclass_fields__ if name not in ("opening", "closing")}
    taken = {name: np.broadcast_to(column, (items,))[rows] for name, column in columns.items()}
    if rows.size == items:
        return replace(wanted, **taken)
    return Wanted(wanted.opening[:, rows], wanted.closing[:, rows], **taken)


def _judged(wanted: Wanted, operators: Operators) -> tuple[np.ndarray, np.ndarray]:
    """Margin and reason of each item and operator, all of the kind asked."""
    fail = np.asarray(wanted.fail, str)
    unknown = sorted(set(np.unique(fail).tolist()) - {ABSENT, "open", "close", "stay"})
    if unknown:
        raise InputError(f"fail {unknown[0]!r} is not known; allowed are open, close, stay")
    air = np.stack([np.asarray(wanted.air_min, float), np.asarray(wanted.air_max, float)], axis=1) - ATMOSPHERE
    margins, holds, most = _capability(operators, wanted, np.where(fail == "open", OPENS, CLOSES), air)

    def column(name: str, kind: type = float) -> np.ndarray:
        return np.asarray(getattr(wanted, name), kind)

    with np.errstate(invalid="ignore"):
        bars = {
            FAIL: np.isin(fail, ("open", "close"))[:, None] & ~operators.fails_safe
            | (fail == "stay")[:, None] & (operators.kind == "pneumatic_sr"),
            FLANGE: _flange_bar(column("flange_rung", int), operators),
            SIZE: column("dn")[:, None] > operators.dn_most,
            AIR: air[:, 1, None] > operators.air_most,
            DUTY: column("duty", int)[:, None] > operators.duty,
            TIME: _time_bar(column("stroke_min"), column("stroke_max"), operators),
            TORQUE: ~(margins >= column("margin")[:, None]),
            BACK: ~holds,
            SHAFT: most > column("shaft_limit")[:, None],
        }
    return margins, np.select(list(bars.values()), list(bars), HOLDS).astype(np.uint8)


def _smallest(reason: np.ndarray, margins: np.ndarray, operators: Operators) -> Choice:
    order = np.lexsort((operators.size, np.array([KINDS.index(str(k)) for k in operators.kind])))
    good = reason[:, order] == HOLDS
    first = np.argmax(good, axis=1)
    found = good[np.arange(first.size), first] if order.size else np.zeros(reason.shape[0], bool)
    index = np.where(found, order[first], -1)
    margin = np.where(found, margins[np.arange(first.size), index], np.nan)
    return Choice(index, margin, margins, reason)


def _flange_bar(rung: np.ndarray, operators: Operators) -> np.ndarray:
    return np.asarray((rung >= 0)[:, None] & ((operators.flange >> np.maximum(rung, 0)[:, None]) & 1 == 0))


def _time_bar(least: np.ndarray, most: np.ndarray, operators: Operators) -> np.ndarray:
    """Too slow; or too fast for a drive whose speed is fixed (a cylinder is throttled, a hand slows down)."""
    fixed = np.char.startswith(operators.kind, "electric")
    return np.asarray((operators.stroke_time > most[:, None]) | fixed & (operators.stroke_time < least[:, None]))
