"""What it takes to turn the disc of each item over its stroke."""

import re
from dataclasses import replace

import numpy as np

from softseat import tables
from softseat.flow.coefficient import loss_from_kv
from softseat.flow.curves import kv_curve
from softseat.maker.package import Maker
from softseat.materials import bushes
from softseat.seat.effects import ROOM
from softseat.selection.limits import limit
from softseat.selection.trial import trial
from softseat.sheet import Sheet
from softseat.torque.over_angle import ANGLES, Service, TorqueCurve, Valve, stand_and_age, torque_over_angle
from softseat.torque.system import gas_drop, line_loss, running
from softseat.torque.valve import Condition, Made, valves_in

WATER = 1000.0  # [kg/m3]
_LEADING = re.compile(r"-?\d+(?:\.\d+)?")
TURNED_BY = (
    "dn", "pn_valve", "disc_diameter", "shaft_diameter", "disc_build", "liner_grade", "liner_thickness", "edge_radius", "land",
    "interference", "bush", "is_wet", "is_dry", "is_gas", "is_mineral_oil", "is_fat", "state", "t_min", "t_max", "shutoff", "cycles",
    "straight_upstream", "density", "velocity", "p1", "gamma",
)  # fmt: skip


def torque_curve(sheet: Sheet, maker: Maker, known: tuple[Sheet, TorqueCurve] | None = None) -> TorqueCurve:
    """Torque over the angle for every item; nan where there is no valve.

    ``known`` are the same items in another build with their curves: only those of which something is otherwise are worked out.
    """
    if known is None:
        return _curve(sheet, maker)
    other, curves = known
    rows = np.flatnonzero(np.logical_or.reduce([_differs(sheet[name], other[name]) for name in TURNED_BY]))
    return curves.putting(rows, _curve(trial(sheet, rows), maker)) if rows.size else curves


def _differs(one: np.ndarray, other: np.ndarray) -> np.ndarray:
    if one is other:
        return np.zeros(one.shape, bool)
    both_nan = np.isnan(one) & np.isnan(other) if one.dtype.kind == "f" else False
    return np.asarray((one != other) & ~both_nan)


def _curve(sheet: Sheet, maker: Maker) -> TorqueCurve:
    made = Made(
        disc_diameter=sheet["disc_diameter"],
        shaft_diameter=sheet["shaft_diameter"],
        bore=sheet["dn"] * 1e-3,
        liner_thickness=sheet["liner_thickness"],
        edge_radius=sheet["edge_radius"],
        land=sheet["land"],
        interference=sheet["interference"],
        hardness=_liner_of(sheet, maker, "hardness"),
        # dry service is counted once, by the factor of the house on the wetted torque (R113), not by dry friction as well
        friction=_liner_of(sheet, maker, "friction_wet_best"),
        tr10=_stiffening(sheet["liner_grade"]),
        tested_torque=_tested(sheet, maker),
    )
    friction = bushes.friction(sheet["bush"], sheet["is_wet"])
    cold, hot = valves_in(made, friction, [Condition(temperature=t, difference=sheet["shutoff"]) for t in _ends(sheet)])
    return torque_over_angle(_harder(cold, hot), _service(sheet))


def _ends(sheet: Sheet) -> tuple[np.ndarray, np.ndarray]:
    """Cold end, where the rubber stiffens, and hot end, where it grows; beyond the counted heat its set takes back what warmth adds."""
    cold = np.where(np.isnan(sheet["t_min"]), ROOM, np.fmin(sheet["t_min"], ROOM))
    hot = np.where(np.isnan(sheet["t_max"]), ROOM, np.clip(sheet["t_max"], ROOM, limit("X_torque", "hot_end_counted")))
    return cold, hot


def _harder(one: Valve, two: Valve) -> Valve:
    """Of two ends of the temperature range the one that turns harder, item by item."""
    first = np.nan_to_num(one.rim[1] + one.hub[1]) >= np.nan_to_num(two.rim[1] + two.hub[1])
    return replace(
        one,
        interference=np.where(first, one.interference, two.interference),
        rim=np.where(first, one.rim, two.rim),
        hub=np.where(first, one.hub, two.hub),
    )


def _stiffening(liner_grade: np.ndarray) -> np.ndarray:
    """TR10 of each grade, near which rubber stiffens [K]; nan where the table holds none."""
    rows = tables.index("elastomers", "code")
    words, inverse = np.unique(liner_grade, return_inverse=True)
    found = [_LEADING.match(rows[str(w)]["TR10_typ_C"]) if str(w) in rows else None for w in words]
    return np.array([float(m.group()) + 273.15 if m else np.nan for m in found])[inverse]


def _liner_of(sheet: Sheet, maker: Maker, name: str) -> np.ndarray:
    table = maker.table("liners")
    order = np.argsort(table["liner_grade"])
    place = np.searchsorted(table["liner_grade"][order], sheet["liner_grade"])
    place = order[np.minimum(place, len(order) - 1)]
    return np.where(table["liner_grade"][place] == sheet["liner_grade"], table[name][place], np.nan)


def _tested(sheet: Sheet, maker: Maker) -> np.ndarray:
    """The maker's tested seating torque for size, rating, disc build and, where it is told, compound; an invented figure is none."""
    table = maker.table("torque")
    compound = table.get("liner_grade", np.full(len(table["dn"]), ""))
    found = np.full(len(sheet), np.nan)
    for i in np.flatnonzero(table["basis"] == "tested"):
        here = (sheet["dn"] == table["dn"][i]) & (sheet["pn_valve"] == table["pn"][i]) & (sheet["disc_build"] == table["disc_build"][i])
        here &= (compound[i] == "") | (sheet["liner_grade"] == compound[i])
        found = np.where(here, table["torque"][i], found)
    return found


def _service(sheet: Sheet) -> Service:
    dry = np.where(sheet["state"] == "powder", limit("R113", "dry_factor_high"), limit("R113", "dry_factor_low"))
    media = np.where(sheet["is_dry"], dry, np.where(sheet["is_mineral_oil"] | sheet["is_fat"], limit("X_torque", "oil_factor_low"), 1.0))
    idle = np.where(sheet["cycles"] <= limit("R114", "idle_per_year"), limit("R114", "idle_factor_low"), 1.0)
    near = sheet["straight_upstream"] < limit("R092", "straight_up")
    flow_factor = np.where(near, limit("R092", "straight_td_factor"), 1.0)
    flow_factor = flow_factor * np.where(sheet["is_gas"], limit("X_torque", "td_gas_factor"), 1.0)
    drop, velocity = _running(sheet)
    return Service(
        difference=drop,
        velocity=velocity,
        density=_density(sheet),
        media_factor=media,
        stand_factor=stand_and_age(idle, limit("R115", "aged_factor")),
        flow_factor=flow_factor,
        hold=np.full(len(sheet), limit("R116", "break_angle")),
    )


def _density(sheet: Sheet) -> np.ndarray:
    """Density for the flow's torque; where the medium's is not known that of water, the heavier of the usual cases."""
    return np.where(np.isnan(sheet["density"]), WATER, sheet["density"])


def _running(sheet: Sheet) -> tuple[np.ndarray, np.ndarray]:
    """Difference and velocity at each angle, (items, angles): from the velocity of the line, else an unlimited source."""
    bore = sheet["dn"] * 1e-3
    sizes, place = np.unique(bore, return_inverse=True)
    kv = kv_curve(sizes[:, None], ANGLES)[1]
    with np.errstate(divide="ignore", invalid="ignore"):
        k = np.where(kv > 0, loss_from_kv(np.where(kv > 0, kv, np.nan), sizes[:, None]), np.inf)[place]
    shutoff, density = sheet["shutoff"], _density(sheet)
    # without a stated flow the line's own design velocity stands for it
    velocity = np.where(
        np.isnan(sheet["velocity"]), np.where(sheet["is_gas"], limit("R084", "v_gas_condition"), limit("R080", "v_pn10")), sheet["velocity"]
    )
    line = line_loss(shutoff, velocity, density, k[:, -1])
    drop, speed = running(shutoff[:, None], k, np.nan_to_num(line)[:, None], density[:, None])
    capped = gas_drop(drop, sheet["p1"][:, None], 0.4, sheet["gamma"][:, None])
    drop = np.where(sheet["is_gas"][:, None] & ~np.isnan(capped), capped, drop)
    drop[:, 0] = shutoff  # closed: nothing flows, the full difference stands on the disc
    return np.where(np.isnan(drop), shutoff[:, None], drop), speed
