"""How long a liner lives in service and in store, and when its spare is to be ordered."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from softseat.errors import InputError, UnknownName
from softseat.seat.ageing import GAS_CONSTANT
from softseat.selection.limits import limit
from softseat.tables import index
from softseat.works.lines import least_squares, student
from softseat.works.practice import practice

YEAR = 365.25 * 86400.0  # [s]
DAYS = 365.25


@dataclass(frozen=True, slots=True)
class Compound:
    """The user's own ageing tests of one compound: time to one end point at several temperatures."""

    name: str
    end_point: str  # what was reached: "compression set 80 %", "elongation at break halved"
    temperature: tuple[float, ...]  # [K]
    time: tuple[float, ...]  # [s]


@dataclass(frozen=True, slots=True)
class Life:
    """Time in service to the end point, with the interval of the fitted line; nan with its reason where it is refused."""

    low: float  # [s]
    best: float  # [s]
    high: float  # [s]
    activation_energy: float  # [J/mol]
    end_point: str
    text: str  # in words, with what stands behind it or why not

    @property
    def known(self) -> bool:
        """True where a life is told."""
        return bool(np.isfinite(self.best))


@dataclass(frozen=True, slots=True)
class Storage:
    """A liner in store: how old it is and how long it may lie."""

    group: str
    age: float  # [years]
    first: float  # [years]
    further: float  # after an inspection [years]
    good: bool
    text: str


@dataclass(frozen=True, slots=True)
class Spare:
    """How many liners are due, from when, and the day by which they are to be ordered."""

    liners: int
    due_from: str  # ISO date, early end of the band
    due_to: str  # late end; "" where none is known
    order_by: str
    store_until: str  # the spare's own shelf life when it comes on the day it is due
    text: str


def day(text: str) -> date:
    """A date as ISO text.

    Raises
    ------
    InputError
        Where it is none.
    """
    try:
        return date.fromisoformat(str(text)[:10])
    except ValueError:
        raise InputError(f"date {text!r} cannot be read; wanted is one such as 2026-03-31") from None


def storage(liner: str, cured: str, on: str, inspected: bool = False) -> Storage:
    """Age of a liner since cure against the storage periods of its group.

    Parameters
    ----------
    liner : str
        Code of the rubber: EPDM, NBR ...
    cured, on : str
        Dates of cure and of today.
    inspected : bool
        Inspected and extended once.

    Raises
    ------
    UnknownName
        Where the rubber is in no group.

    References
    ----------
    ISO 2230:2002, periods for rubber in bulk and seals stored unassembled; from memory.
    """
    groups = index("works_storage", "liner")
    if liner not in groups:
        raise UnknownName(f"liner {liner!r} is in no storage group; known are {', '.join(groups)}")
    group = groups[liner]["group"]
    first, further = limit("R193", f"shelf_{group.lower()}"), practice(f"storage_further_{group}") / YEAR
    age = (day(on) - day(cured)).days / DAYS
    if age < 0:
        raise InputError(f"liner cured {cured} is not yet cured on {on}")
    allowed = first + (further if inspected else 0.0)
    left = allowed - age
    said = f"{liner}, group {group}: {age:.1f} years since cure, {first:g} years allowed, {further:.0f} more once after inspection"
    if left >= 0:
        return Storage(group, age, first, further, True, f"{said}; {left:.1f} years left")
    after = " (inspect it: it may then lie on)" if not inspected and age <= first + further else " (do not fit it)"
    return Storage(group, age, first, further, False, f"{said}; over by {-left:.1f} years{after}")


def liner_life(compound: Compound, duty: Sequence[tuple[float, float]], coverage: float | None = None) -> Life:
    """Life of a liner at a duty, from the user's own ageing tests of that compound.

    Parameters
    ----------
    compound : Compound
        At three temperatures or more, all to one end point that is named.
    duty : sequence of (temperature, share)
        Temperatures of the rubber and their shares of the time; they add up to 1. [K], [-]
    coverage : float
        Of the interval of the fitted line; without it the house's.

    Returns
    -------
    life : Life
        nan, with the reason, where the tests are too few or a temperature lies further outside them than the law is believed.

    Notes
    -----
    Shares of life add up (linear damage). Temperatures below the tests by more than the house's limit are refused even
    where little life is spent there: the law could be another one.

    References
    ----------
    ISO 11346:2014, Arrhenius approach: ln t = a + Ea/(R T), by least squares.
    """
    reason = _refused(compound, duty)
    if reason:
        return Life(*(float("nan"),) * 4, compound.end_point, reason)
    x, y = 1 / np.asarray(compound.temperature), np.log(compound.time)
    wanted = practice("coverage") if coverage is None else coverage
    line = least_squares(x, y, wanted)
    if line.slope <= 0:
        return Life(*(float("nan"),) * 4, compound.end_point, "the tests do not age faster when hotter: no law can be drawn through them")
    hot, share = (np.asarray(v, float) for v in zip(*duty, strict=True))
    at = 1 / hot
    scatter = line.residual * np.sqrt(1 / x.size + (at - x.mean()) ** 2 / np.sum((x - x.mean()) ** 2))
    reach = student(wanted, x.size - 2) * scatter
    middle = line.intercept + line.slope * at
    low, best, high = (float(1 / np.sum(share / np.exp(middle + sign * reach))) for sign in (-1, 0, 1))
    energy = line.slope * GAS_CONSTANT
    told = (
        f"{compound.name}: {best / YEAR:.3g} years ({low / YEAR:.3g} to {high / YEAR:.3g}) to {compound.end_point}; "
        f"{x.size} tests from {min(compound.temperature) - 273.15:.0f} to {max(compound.temperature) - 273.15:.0f} C, "
        f"activation energy {energy / 1e3:.3g} kJ/mol. Heat alone: wear, media and ozone come on top."
    )
    return Life(low, best, high, energy, compound.end_point, told)


def _refused(compound: Compound, duty: Sequence[tuple[float, float]]) -> str:
    """Why no life is told; "" where it is. A wrong word of the caller raises."""
    if not compound.end_point.strip():
        raise InputError(f"compound {compound.name}: its end point is not named; a life without one says nothing")
    tests = np.asarray(compound.temperature, float)
    if tests.size != len(compound.time) or not (np.all(tests > 0) and np.all(np.asarray(compound.time) > 0)):
        raise InputError(f"compound {compound.name}: wanted are as many times as temperatures, all above 0 (K, s)")
    if not duty or abs(sum(s for _, s in duty) - 1) > 1e-6 or any(s < 0 for _, s in duty):
        raise InputError("duty: the shares of the time must be positive and add up to 1")
    fewest = int(practice("iso11346_temperatures"))
    if np.unique(tests).size < fewest:
        return f"tests at {np.unique(tests).size} temperatures; ISO 11346 wants {fewest} at least"
    reach = limit("R200", "extrapolate")
    for hot, _ in duty:
        off = max(tests.min() - hot, hot - tests.max(), 0.0)
        if off > reach + 1e-9:
            return f"{hot - 273.15:.0f} C lies {off:.0f} K outside the tests; the law is not believed further than {reach:.0f} K"
    return ""


def spare(pieces: int, life: Life, in_service: str, lead_time: float, liner: str) -> Spare:
    """Spare liners of a group of alike valves: when they are due and when to order them.

    Parameters
    ----------
    pieces : int
        Valves.
    life : Life
        Of their liner at this duty.
    in_service : str
        Date of first use.
    lead_time : float
        From order to store. [s]
    liner : str
        Code of the rubber, for its time in store.

    Returns
    -------
    spare : Spare
        Ordered for the early end of the band: a liner that waits in store costs less than a stopped line.

    Raises
    ------
    InputError
        Where the life is not known.
    """
    if not life.known:
        raise InputError(f"spare liners: no life is known ({life.text})")
    start = day(in_service).toordinal()
    early, late = start + life.low / 86400, start + life.high / 86400
    order_by = max(start, early - lead_time / 86400)
    due, ordered = _date(early), _date(order_by)
    group = index("works_storage", "liner")
    first = limit("R193", f"shelf_{group[liner]['group'].lower()}") if liner in group else float("nan")
    until = _date(early + first * DAYS) if np.isfinite(first) else ""
    long_lie = np.isfinite(first) and (late - early) / DAYS > first
    also = f" The band is longer than the {first:g} years a liner may lie: order in two lots." if long_lie else ""
    told = (
        f"{pieces} liners due from {due}; order by {ordered or 'a date beyond the calendar'}, not before: a liner ages in store too.{also}"
    )
    return Spare(pieces, due, _date(late), ordered, until, told)


def _date(ordinal: float) -> str:
    """An ISO date; "" beyond the calendar."""
    return date.fromordinal(int(ordinal)).isoformat() if ordinal < date.max.toordinal() else ""
