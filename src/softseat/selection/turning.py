"""What it takes to turn the offered disc, and which of the maker's operators does it."""

import re
from dataclasses import dataclass, replace

import numpy as np

from softseat import tables
from softseat.flow.coefficient import loss_from_kv
from softseat.flow.curves import kv_curve
from softseat.maker.package import Maker
from softseat.materials import bushes
from softseat.operators.choice import SHAFT, Choice, Wanted, choose
from softseat.operators.flange import ladder
from softseat.operators.table import Operators, cylinders, electrics, gears, levers, together
from softseat.seat.effects import ROOM
from softseat.selection.limits import limit
from softseat.sheet import DERIVED, MISSING, Sheet
from softseat.torque.over_angle import ANGLES, Service, TorqueCurve, Valve, stand_and_age, torque_over_angle
from softseat.torque.shaft import shaft_stress
from softseat.torque.strength import shaft_limit
from softseat.torque.system import gas_drop, line_loss, running
from softseat.torque.valve import Condition, Made, valve_in

ATMOSPHERE = 101325.0
WATER = 1000.0  # [kg/m3]
_LEADING = re.compile(r"-?\d+(?:\.\d+)?")
FAIL_SAFE = ("open", "close")


@dataclass(frozen=True, slots=True)
class Turning:
    """Torque over the angle, the operator, and the Sheet with their figures."""

    sheet: Sheet
    curve: TorqueCurve
    choice: Choice
    operators: Operators


def operated(sheet: Sheet, maker: Maker, curve: TorqueCurve) -> Turning:
    """The smallest operator of the kind that stands in the Sheet, against this torque."""
    table = operator_table(maker)
    limit_torque, use = _shaft(sheet, curve)
    choice = choose(_wanted(sheet, curve, limit_torque), table)
    return Turning(_columns(sheet, maker, curve, choice, table, limit_torque, use), curve, choice, table)


def torque_curve(sheet: Sheet, maker: Maker) -> TorqueCurve:
    """Torque over the angle for every item; nan where there is no valve."""
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
    cold, hot = (valve_in(made, friction, Condition(temperature=t, difference=sheet["shutoff"])) for t in _ends(sheet))
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
    kv = kv_curve(bore[:, None], ANGLES)[1]
    with np.errstate(divide="ignore", invalid="ignore"):
        k = np.where(kv > 0, loss_from_kv(np.where(kv > 0, kv, np.nan), bore[:, None]), np.inf)
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


def _shaft(sheet: Sheet, curve: TorqueCurve) -> tuple[np.ndarray, np.ndarray]:
    """Greatest torque the shaft train may get, and how far the required torque uses the shaft (3, items)."""
    strength = sheet["yield"]
    _, bending, _, _ = shaft_stress(0.0, sheet["shutoff"], sheet["disc_diameter"], sheet["shaft_diameter"], sheet["span"], strength)
    greatest = shaft_limit(sheet["shaft_diameter"], strength, bending, sheet["square"])
    with np.errstate(divide="ignore", invalid="ignore"):
        return greatest, curve.required / greatest


def operator_table(maker: Maker) -> Operators:
    """Every operator of the maker, over the angles of the torque curve."""
    force = limit("R111", "hand_force")
    angles = len(ANGLES)
    return together(
        levers(maker.table("levers"), force, angles),
        gears(maker.table("gears"), force, angles),
        cylinders(maker.table("cylinders"), ANGLES),
        electrics(maker.table("electrics"), angles),
    )


def _rungs(top_flange: np.ndarray) -> np.ndarray:
    rung = {name: i for i, name in enumerate(ladder())}
    words, inverse = np.unique(top_flange, return_inverse=True)
    return np.array([rung.get(str(w), -1) for w in words])[inverse]


def _wanted(sheet: Sheet, curve: TorqueCurve, limit_torque: np.ndarray) -> Wanted:
    fail_safe = np.isin(sheet["fail"], FAIL_SAFE)
    powered = ~np.isin(sheet["operator"], ("lever", "gear", "bare_shaft"))
    margin = np.where(fail_safe, limit("R116", "operator_margin_high"), limit("R116", "operator_margin_low"))
    kind = np.where(np.isin(sheet["operator"], ("hydraulic", "float_or_counterweight")), "bare_shaft", sheet["operator"])
    fail = np.where(sheet["operator"] == "pneumatic_sr", np.where(fail_safe, sheet["fail"], "close"), "")
    duty = np.where(np.isin(sheet["duty"], ("control",)) & (sheet["operator"] == "electric_modulating"), 2, 0)
    return Wanted(
        opening=curve.opening,
        closing=curve.closing,
        air_min=sheet["air_min"],
        air_max=sheet["air_max"],
        shaft_limit=np.where(powered, limit_torque, np.nan),
        flange_rung=-1,
        kind=kind,
        fail=fail,
        margin=np.select([powered, sheet["operator"] == "lever"], [_over_high_end(curve, margin), _best_over_high(curve)], 1.0),
        duty=duty,
        dn=sheet["dn"],
    )


def _best_over_high(curve: TorqueCurve) -> np.ndarray:
    """A lever is judged by the best value, as the trade does; what the high end would ask of the hand is said (R184)."""
    with np.errstate(divide="ignore", invalid="ignore"):
        share = curve.required[1] / curve.required[2]
    return np.where(np.isnan(share), 1.0, share)


def _over_high_end(curve: TorqueCurve, margin: np.ndarray) -> np.ndarray:
    """Margin on the high end of the band: the high end itself is enough unless the house's margin on the best value asks for more.

    The band is what the margin stands for where no test is known; the two are not piled up.
    """
    required = curve.required
    with np.errstate(divide="ignore", invalid="ignore"):
        share = margin * required[1] / required[2]
    return np.where(np.isnan(share), 1.0, np.maximum(share, 1.0))


def _columns(
    sheet: Sheet, maker: Maker, curve: TorqueCurve, choice: Choice, table: Operators, limit_torque: np.ndarray, use: np.ndarray
) -> Sheet:
    there = choice.index >= 0
    at = np.where(there, choice.index, 0)
    required = curve.required
    mark = np.where(np.isnan(required[1]), MISSING, DERIVED).astype(np.uint8)
    margin = np.where(there, choice.margin, _best(choice, table, sheet))
    powered = ~np.isin(sheet["operator"], ("lever", "gear", "bare_shaft", ""))
    force = limit("R111", "hand_force")
    with np.errstate(divide="ignore", invalid="ignore"):
        hand = np.where(np.isin(sheet["operator"], ("gear",)), force / margin, np.nan)
    sheet = sheet.adding(
        mark,
        torque_required=required,
        torque_unseating=curve.unseating,
        shaft_limit=limit_torque,
        shaft_use=use,
        lever_length=_lever(sheet, maker, table, there, at),
        hand_force=hand,
        operator_margin=margin,
        operator_torque_at_air_min=np.where(powered, margin * required[2], np.nan),
        operator_torque_max=np.where(there, np.nan, _too_strong(choice, table, sheet) * required[2]),
        flow_drives=curve.flow_drives,
    )
    unasked = ("", "bare_shaft", "hydraulic", "float_or_counterweight")
    return sheet.adding(
        DERIVED,
        operator_key=np.where(there, table.key[at], ""),
        operator_found=there | np.isin(sheet["operator"], unasked),
        aged_factor_in_torque=np.full(len(sheet), "yes"),
        lever_nm_asked=np.full(len(sheet), np.nan),
        top_flange_torque=_flange_torque(sheet["top_flange"]),
    )


def _lever(sheet: Sheet, maker: Maker, table: Operators, there: np.ndarray, at: np.ndarray) -> np.ndarray:
    """Length of the lever that was found, of the longest one where none holds."""
    longest = float(np.nanmax(maker.table("levers")["length"]))
    found = np.where(there, table.flat[at] / limit("R111", "hand_force"), longest)
    return np.where(sheet["operator"] == "lever", found, np.nan)


def _too_strong(choice: Choice, table: Operators, sheet: Sheet) -> np.ndarray:
    """Margin of the weakest operator of the kind that would do, but is stronger than the shaft; nan where there is none."""
    barred = (choice.reason == SHAFT) & _of_kind(table, sheet)
    least = np.where(barred, choice.margins, np.inf).min(axis=1)
    return np.where(np.isfinite(least), least, np.nan)


def _of_kind(table: Operators, sheet: Sheet) -> np.ndarray:
    """Where an operator is of the very kind that stands in the Sheet, (items, operators)."""
    words, inverse = np.unique(sheet["operator"], return_inverse=True)
    return np.asarray((table.kind[None, :] == words[:, None])[inverse])


def _best(choice: Choice, table: Operators, sheet: Sheet) -> np.ndarray:
    """Margin of the strongest operator of the kind, where none holds."""
    margins = np.where(_of_kind(table, sheet), choice.margins, -np.inf).max(axis=1)
    return np.where(np.isfinite(margins), margins, np.nan)


def _flange_torque(top_flange: np.ndarray) -> np.ndarray:
    words, inverse = np.unique(top_flange, return_inverse=True)
    found = []
    for word in words:
        try:
            found.append(limit("R118", str(word)))
        except KeyError:
            found.append(np.nan)
    return np.array(found)[inverse]
