"""Which size: the line's own, a smaller one that controls, or a larger one that is not too fast; opening, cavitation, full-open loss."""

from typing import cast

import numpy as np

from softseat.flow.choking import liquid_choking_drop
from softseat.flow.curves import fl_curve, kv_curve, kv_full
from softseat.flow.disc import Disc
from softseat.flow.opening import gas_opening, liquid_opening, opening_for_kv
from softseat.maker.package import Maker
from softseat.selection.choose import Candidate, Choice, choose
from softseat.selection.judge import judge
from softseat.selection.loudness import gas_level, liquid_level
from softseat.selection.parts import range_columns
from softseat.selection.trial import Trial, trial
from softseat.sheet import DERIVED, MISSING, Sheet

CONTROL = ("control", "throttle")
FURTHEST, STEP = 6, 10.0  # sizes up or down that are looked at; what each step away from the line size costs
SIZE_RULES = ("R080", "R082", "R084", "R085", "R086", "R087", "R090", "R150")
QUICK_RULES = ("R080", "R082", "R084", "R150")  # those that need no opening


def sizing(sheet: Sheet) -> Sheet:
    """The Sheet with velocity, full-open Kv, and for control duties opening, share of Kv and margin to choking at its size."""
    bore = sheet["dn"] * 1e-3
    full = kv_full(bore)
    sheet = _marked(_speeds(sheet), kv_full=full)
    sheet = _openings(sheet, bore, full)
    return sheet.adding(
        DERIVED,
        kv_basis=np.full(len(sheet), "calculated"),
        kv_sources=np.full(len(sheet), 4.0),
        cavitates_last_degrees=_short_cavitation(sheet),
    )


def _speeds(sheet: Sheet) -> Sheet:
    """The Sheet with the velocity in the bore and its share of the speed of sound."""
    with np.errstate(divide="ignore", invalid="ignore"):
        area = np.pi / 4 * (sheet["dn"] * 1e-3) ** 2
        velocity = sheet["actual_flow"] / area
        mach = np.where(sheet["is_gas"], velocity / sheet["sound_speed"], np.nan)
    return _marked(sheet, velocity=velocity, mach=mach)


def _marked(sheet: Sheet, **columns: np.ndarray) -> Sheet:
    for name, column in columns.items():
        best = column[1] if column.ndim == 2 else column
        sheet = sheet.adding(np.where(np.isnan(best), MISSING, DERIVED).astype(np.uint8), **{name: column})
    return sheet


def _openings(sheet: Sheet, bore: np.ndarray, full: np.ndarray) -> Sheet:
    size = len(sheet)
    empty = np.full((3, size), np.nan)
    found = {name: empty.copy() for name in ("opening_normal", "opening_highest", "kv_needed", "kv_share", "sigma_margin", "noise")}
    p2 = np.where(np.isnan(sheet["p2"]), sheet["p1"] - sheet["drop"], sheet["p2"])
    control = np.isin(sheet["duty"], CONTROL)
    driven = control & ~np.isnan(p2) & ~np.isnan(sheet["actual_flow"]) & ~np.isnan(bore)
    for rows, solve in ((np.flatnonzero(driven & sheet["is_liquid"]), _liquid), (np.flatnonzero(driven & sheet["is_gas"]), _gas)):
        if len(rows):
            for name, value in solve(sheet, rows, p2[rows], bore[rows]).items():
                found[name][:, rows] = value
    stated = np.flatnonzero(control & ~driven & ~np.isnan(sheet["opening"]) & ~np.isnan(bore))
    if len(stated):
        line = sheet["dn_line"][stated] * 1e-3
        needed = np.sort(kv_curve(line, sheet["opening"][stated]), axis=0)
        found["kv_needed"][:, stated] = needed
        found["opening_normal"][:, stated] = np.sort(np.stack(opening_for_kv(needed[1], bore[stated])), axis=0)
    with np.errstate(divide="ignore", invalid="ignore"):
        found["kv_share"] = np.sort(found["kv_needed"] / full[::-1], axis=0)
    return _marked(sheet, **found)


def _liquid(sheet: Sheet, rows: np.ndarray, p2: np.ndarray, bore: np.ndarray) -> dict[str, np.ndarray]:
    p1, density, pv, pc = (sheet[n][rows] for n in ("p1", "density", "pv", "pc"))
    pv, pc = np.nan_to_num(pv, nan=0.0), np.where(np.isnan(pc), 22.064e6, pc)
    line = sheet["dn_line"][rows] * 1e-3
    normal, highest = sheet["actual_flow_normal"][rows], sheet["actual_flow"][rows]
    opening, needed, _ = liquid_opening(Disc(bore), normal, p1, p2, density, pv, pc, None, line, line)
    widest, more = opening.copy(), normal != highest  # where no other highest flow is stated the answer is the same
    if more.any():
        some = {"flow": highest, "p1": p1, "p2": p2, "density": density, "pv": pv, "pc": pc, "pipe_in": line, "pipe_out": line}
        widest[:, more] = liquid_opening(Disc(bore[more]), **{n: c[more] for n, c in some.items()})[0]
    opening, widest = _too_small(opening), _too_small(widest)
    fl = fl_curve(opening[1])
    room, _ = liquid_choking_drop(p1, pv, pc, fl)
    margin = np.sort(room / (p1 - p2), axis=0)
    return {
        "opening_normal": np.sort(opening, axis=0),
        "opening_highest": np.sort(widest, axis=0),
        "kv_needed": np.sort(needed, axis=0),
        "sigma_margin": margin,
        "noise": liquid_level(sheet, rows, p2, opening[1], needed[1]),
    }


def _gas(sheet: Sheet, rows: np.ndarray, p2: np.ndarray, bore: np.ndarray) -> dict[str, np.ndarray]:
    line = sheet["dn_line"][rows] * 1e-3
    state = {n: sheet[n][rows] for n in ("p1", "molar_mass", "gamma", "z")}
    share = sheet["actual_flow_normal"][rows] / sheet["actual_flow"][rows]
    normal_cubic = _normal_flow(sheet, rows)
    opening, needed, _ = gas_opening(
        Disc(bore), **state, p2=p2, t1=sheet["t1"][rows], flow=normal_cubic * share, pipe_in=line, pipe_out=line
    )
    widest, more = opening.copy(), share != 1.0
    if more.any():
        some = {"p2": p2, "t1": sheet["t1"][rows], "flow": normal_cubic, "pipe_in": line, "pipe_out": line, **state}
        widest[:, more] = gas_opening(Disc(bore[more]), **{n: c[more] for n, c in some.items()})[0]
    return {
        "opening_normal": np.sort(_too_small(opening), axis=0),
        "opening_highest": np.sort(_too_small(widest), axis=0),
        "kv_needed": np.sort(needed, axis=0),
        "noise": gas_level(sheet, rows, p2, opening[1], needed[1]),
    }


def _normal_flow(sheet: Sheet, rows: np.ndarray) -> np.ndarray:
    """Highest flow at 0 C and 101.325 kPa, back from the actual one."""
    p1, t1, z = sheet["p1"][rows], sheet["t1"][rows], sheet["z"][rows]
    return sheet["actual_flow"][rows] * p1 / 101325.0 * 273.15 / t1 / np.where(np.isnan(z), 1.0, z)


def _too_small(opening: np.ndarray) -> np.ndarray:
    """A valve that cannot pass the flow stands at its stop: full open."""
    return np.where(np.isnan(opening), 90.0, opening)


def _short_cavitation(sheet: Sheet) -> np.ndarray:
    """On-off liquid that would choke across the nearly closed disc: shut-off difference against what is left to the vapour pressure."""
    with np.errstate(invalid="ignore"):
        chokes = sheet["shutoff"] > 0.7 * (sheet["p_highest"] - np.nan_to_num(sheet["pv"]))
    return sheet["is_liquid"] & chokes & ~np.isin(sheet["duty"], CONTROL)


def sized(sheet: Sheet, maker: Maker, thorough: bool = True) -> tuple[Sheet, Choice | None, np.ndarray]:
    """The Sheet at the size that its rules like best, and the rows looked at: only items that a rule speaks against are moved."""
    judged = judge(sheet, SIZE_RULES)
    moved = np.flatnonzero(np.logical_or.reduce([judged[r] == 1 for r in SIZE_RULES if r != "R080"]) & ~np.isnan(sheet["dn"]))
    if not len(moved):
        return sheet, None, moved
    part = trial(sheet, moved)
    ladder = np.unique(maker.table("valves")["dn"])
    place = np.searchsorted(ladder, part["dn"])
    options = [
        Candidate(f"DN{dn:g}", {"dn": float(dn)}, np.abs(k - place) <= FURTHEST, STEP * np.abs(k - place)) for k, dn in enumerate(ladder)
    ]
    asked = np.char.add("DN", part["dn"].astype(int).astype(str))
    quick = QUICK_RULES, lambda s: _speeds(range_columns(s, maker))
    choice = choose(part, options, asked, SIZE_RULES, lambda s: sizing(range_columns(s, maker)), thorough=thorough, first=quick)
    return merged(sheet, cast(Trial, choice.sheet), moved), choice, moved


def merged(sheet: Sheet, part: Trial, rows: np.ndarray) -> Sheet:
    """The Sheet with the columns of some items put back in their place."""
    values, state = dict(sheet.values), dict(sheet.state)
    for name in part.changed(sheet):
        column = part[name]
        kind = np.result_type(values[name], column) if column.dtype.kind == "U" else values[name].dtype
        new = values[name].astype(kind, copy=True)
        new[..., rows] = column
        values[name], mark = new, state[name].copy()
        mark[rows] = part.state[name]
        state[name] = mark
    return Sheet(values, state, sheet.origin, sheet.why)
