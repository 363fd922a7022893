"""Surge as a screen: what the stated closing does, by a coarse run over the valve's own curve; the fine run belongs to explain."""

import contextlib
import functools
from collections.abc import Callable

import numpy as np

from softseat.errors import UnknownName
from softseat.flow.curves import kv_curve
from softseat.flow.surge_case import OPENINGS, Case, Stroke, band, closings, mirrored
from softseat.flow.surge_friction import friction_factor, pipe_roughness
from softseat.flow.surge_safe import safe_strokes
from softseat.flow.surge_screen import effective_time
from softseat.flow.wave import critical_time, pipe_wave_speed
from softseat.piping.pipe import rows_of
from softseat.selection.limits import limit
from softseat.selection.trial import trial
from softseat.sheet import DERIVED, MISSING, Sheet
from softseat.tables import number
from softseat.tables.nominal import plain, words

GRAVITY = 9.80665  # [m/s2]
ATMOSPHERE = 101325.0
LONGEST = 3600.0  # [s] end of the search for a safe stroke
WATER_VISCOSITY = 1e-6  # [m2/s] where none is known: friction is a band anyway
CONTROL = ("control", "throttle")
REMEMBERED = 20_000  # items whose answer is kept: what is asked again and again while questions are weighed


def surge_screen(sheet: Sheet) -> Sheet:
    """The Sheet with critical time, surge pressure and lowest head of closing in the stated stroke time, as bands."""
    size = len(sheet)
    rows = np.flatnonzero(_screened(sheet) & ~np.isnan(sheet["stroke_time"]))
    found = np.full((6, size), np.nan)
    if len(rows):
        found[:, rows] = _remembering(_screen, _keys(sheet, rows, sheet["stroke_time"][rows]), 6)
    peak, lowest = found[:3], found[3:]
    weight = sheet["density"] * GRAVITY
    liquid = sheet["is_liquid"] & ~np.isnan(sheet["pipe_length"]) & ~np.isnan(sheet["stroke_time"])
    critical, lines = np.full(size, np.nan), np.flatnonzero(liquid)
    critical[lines] = critical_time(sheet["pipe_length"][lines], wave_speeds(trial(sheet, lines))[1])
    mark = np.where(np.isnan(peak[1]), MISSING, DERIVED).astype(np.uint8)
    sheet = _behind(sheet)
    return sheet.adding(
        mark,
        critical_time=critical,
        surge_pressure=ATMOSPHERE + peak * weight,
        separation_head=lowest,
        effective_time=_effective(sheet, peak[1]),
        closing_law=np.where(liquid & (sheet["pipe_length"] > limit("R132", "long_main")), "linear", ""),
    )


def _behind(sheet: Sheet) -> Sheet:
    """The Sheet with the lowest head behind the valve, as a band, and the head at which the liquid boils.

    nan where no line behind it is known: the valve's own loss says nothing of what the column that runs on will pull.
    """
    rows = np.flatnonzero(_screened(sheet, "pipe_length_behind") & ~np.isnan(sheet["stroke_time"]))
    lowest = np.full((3, len(sheet)), np.nan)
    weight = sheet["density"] * GRAVITY
    vapour = (sheet["pv"] - ATMOSPHERE) / weight
    if len(rows):
        keys = np.column_stack([sheet["pipe_length_behind"][rows], _keys(sheet, rows, sheet["stroke_time"][rows])])
        lowest[:, rows] = _remembering(_screen_behind, keys, 3)
        lowest = np.maximum(lowest, np.where(np.isnan(vapour), -ATMOSPHERE / weight, vapour))
    mark = np.where(np.isnan(lowest[1]), MISSING, DERIVED).astype(np.uint8)
    return sheet.adding(mark, lowest_head=lowest, vapour_head=vapour)


def safe_stroke(sheet: Sheet, asked: np.ndarray) -> np.ndarray:
    """Of the items of ``asked`` the shortest full stroke that keeps the pressure within the rating at the bad end, in whole seconds.

    nan where none, not known or not asked. [s]
    """
    found = np.full(len(sheet), np.nan)
    rows = np.flatnonzero(_screened(sheet) & ~np.isnan(sheet["pn_valve"]) & asked)
    if len(rows):
        room = sheet["pn_valve"][rows] * 1e5 / (sheet["density"][rows] * GRAVITY)
        found[rows] = _remembering(_safest, _keys(sheet, rows, room), 1)[0]
    return np.asarray(np.ceil(found))


def _screened(sheet: Sheet, length: str = "pipe_length") -> np.ndarray:
    """Items of which enough is known for a run."""
    known = [np.isfinite(sheet[n]) for n in (length, "actual_flow", "density", "p1", "dn", "dn_line")]
    return np.asarray(np.logical_and.reduce([sheet["is_liquid"], sheet[length] > 0, sheet["actual_flow"] > 0, *known]))


def _effective(sheet: Sheet, peak: np.ndarray) -> np.ndarray:
    rise = peak - (sheet["p1"] - ATMOSPHERE) / (sheet["density"] * GRAVITY)
    return effective_time(sheet["pipe_length"], sheet["velocity"], np.maximum(rise, 0.0), sheet["stroke_time"])


def line_bore(sheet: Sheet) -> np.ndarray:
    """Bore of the line: as stated, else nominal. [m]"""
    return np.where(np.isnan(sheet["pipe_bore"]), sheet["dn_line"] * 1e-3, sheet["pipe_bore"])


def wave_speeds(sheet: Sheet) -> np.ndarray:
    """Wave speed in the line: as stated, by the named pipe, or the widest band where none is named. Shape (3, items). [m/s]"""
    pipes, inverse = np.unique(sheet["pipe_system"], return_inverse=True)
    ratio = np.array([bore_over_wall(*key) for key in zip(sheet["pipe_system"], sheet["pipe_class"], sheet["dn_line"], strict=True)])
    with np.errstate(invalid="ignore"):
        modulus = np.where(sheet["is_liquid"], sheet["density"] * np.square(sheet["sound_speed"]), np.nan)
    found = np.full((3, len(sheet)), np.nan)
    for n, pipe in enumerate(pipes):
        here = inverse == n
        with contextlib.suppress(UnknownName):
            found[:, here] = pipe_wave_speed(str(pipe), np.nan_to_num(sheet["density"][here], nan=1000.0), modulus[here], ratio[here])
    usual = pipe_wave_speed("", 1000.0, np.nan)[:, None]
    found = np.where(np.isnan(found), usual, found)
    return np.where(np.isnan(sheet["wave_speed"]), found, sheet["wave_speed"])


@functools.lru_cache(maxsize=4096)
def bore_over_wall(kind: str, class_: str, dn: float) -> float:
    """Bore over wall of a pipe by its class; nan where no table has it."""
    systems = words("pipe material").get(plain(str(kind)), "") if class_ else ""
    for system in filter(None, systems.split("|")):
        with contextlib.suppress(UnknownName):
            for row in rows_of(system, str(class_)):
                if number(row["DN"]) == dn:
                    return number(row["inside_d_mm"]) / number(row["wall_mm"])
    return float("nan")


def friction_factors(sheet: Sheet) -> np.ndarray:
    """Friction factor of the line, as a band of its roughness. Shape (3, items)."""
    bore = line_bore(sheet)
    pipes, inverse = np.unique(sheet["pipe_system"], return_inverse=True)
    rough = np.stack([_roughness(str(p)) for p in pipes], axis=1)[:, inverse] if len(pipes) else np.empty((3, 0))
    with np.errstate(invalid="ignore", divide="ignore"):
        kinematic = np.where(np.isnan(sheet["viscosity"]), WATER_VISCOSITY, sheet["viscosity"] / sheet["density"])
        velocity = sheet["actual_flow"] / (np.pi / 4 * np.square(bore))
        return friction_factor(velocity * bore / kinematic, rough / bore)


def _roughness(pipe: str) -> np.ndarray:
    with contextlib.suppress(UnknownName, KeyError):
        return pipe_roughness(pipe)
    return pipe_roughness("")


def _keys(sheet: Sheet, rows: np.ndarray, last: np.ndarray) -> np.ndarray:
    """All that the answer depends on, one row an item."""
    some = trial(sheet, rows)
    weight = some["density"] * GRAVITY
    opening = some.end("opening_normal") if "opening_normal" in some else np.full(len(some), np.nan)
    throttles = np.isin(some["duty"], CONTROL) & (opening > 0)
    rise = np.fmax(np.nan_to_num(some["shutoff_head"] - some["pump_head"]), 0.0)
    columns = (
        some["pipe_length"], line_bore(some), some["actual_flow"], *((some[p] - ATMOSPHERE) / weight for p in ("p1", "p2")),
        *wave_speeds(some), *friction_factors(some), some["dn"], np.where(throttles, opening, 90.0), rise, last,
    )  # fmt: skip
    return np.column_stack([np.broadcast_to(c, (len(some),)) for c in columns])


def cases(keys: np.ndarray) -> Case:
    """The items of these rows of figures, each with the Kv curve of its size."""
    sizes, inverse = np.unique(keys[:, 11], return_inverse=True)
    kv = np.stack([_kv(float(d)) for d in sizes], axis=-1)[..., inverse]
    length, bore, flow, head, behind = keys.T[:5]
    return Case(length, bore, flow, head, behind, keys.T[5:8], keys.T[8:11], kv, keys[:, 12], keys[:, 13])


def case_of(sheet: Sheet, rows: np.ndarray) -> Case:
    """The surge case of these items."""
    return cases(_keys(sheet, rows, sheet["stroke_time"][rows]))


@functools.lru_cache(maxsize=64)
def _kv(dn: float) -> np.ndarray:
    return kv_curve(dn * 1e-3, OPENINGS)


def _screen(keys: np.ndarray) -> np.ndarray:
    """Band of the highest and of the lowest head of closing in the last figure of each row. Shape (6, items)."""
    found = closings(cases(keys), Stroke(keys[:, -1]))
    return np.concatenate([band(found.peak), band(found.lowest)])


def _screen_behind(keys: np.ndarray) -> np.ndarray:
    """Band of the lowest head behind the valve; the length of that line leads each row. Shape (3, items)."""
    case = cases(keys[:, 1:])
    found = closings(mirrored(case, keys[:, 0], case.head_behind), Stroke(keys[:, -1]))
    return -band(found.peak)[::-1]


def _safest(keys: np.ndarray) -> np.ndarray:
    """Safe stroke below the head in the last figure of each row. Shape (1, items)."""
    case = cases(keys)
    least = critical_time(case.length, case.wave_speed[1])
    return safe_strokes(case, keys[:, -1], least, LONGEST)[None]


_memory: dict[tuple[str, bytes], np.ndarray] = {}


def _remembering(compute: Callable[[np.ndarray], np.ndarray], keys: np.ndarray, count: int) -> np.ndarray:
    """The answers of a pure function of rows, each different row computed once."""
    names = [(compute.__name__, row.tobytes()) for row in np.ascontiguousarray(keys)]
    fresh = {name: n for n, name in enumerate(names) if name not in _memory}
    if fresh:
        if len(_memory) + len(fresh) > REMEMBERED:
            _memory.clear()
            fresh = {name: n for n, name in enumerate(names)}
        _memory.update(zip(fresh, compute(keys[list(fresh.values())]).T, strict=True))
    return np.stack([_memory[name] for name in names], axis=1).reshape(count, len(names))
