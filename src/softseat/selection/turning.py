"""What it takes to turn the offered disc, and which of the maker's operators does it."""

from dataclasses import dataclass, replace

import numpy as np

from softseat.maker.package import Maker
from softseat.operators.choice import SHAFT, TORQUE, Choice, Wanted, choose
from softseat.operators.table import Operators, cylinders, electrics, gears, levers, together
from softseat.selection.limits import limit
from softseat.sheet import DERIVED, MISSING, Sheet
from softseat.torque.over_angle import ANGLES, TorqueCurve
from softseat.torque.shaft import shaft_stress
from softseat.torque.strength import shaft_limit

ATMOSPHERE = 101325.0
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
    choice = _longest(choose(_wanted(sheet, curve, limit_torque), table), table, sheet["operator"] == "lever")
    return Turning(_columns(sheet, maker, curve, choice, table, limit_torque, use), curve, choice, table)


def _longest(choice: Choice, table: Operators, lever: np.ndarray) -> Choice:
    """Where no lever is enough by the best value of the torque, the longest that fits: a test decides (R184), or the rule stops (R110)."""
    rows = np.flatnonzero(lever & (choice.index < 0))
    fits = (choice.reason[rows] == TORQUE) & (table.kind == "lever")
    length = np.where(fits, table.greatest, -np.inf)
    some = fits.any(axis=1)
    rows, at = rows[some], np.argmax(length[some], axis=1)
    index, margin = choice.index.copy(), choice.margin.copy()
    index[rows], margin[rows] = at, choice.margins[rows, at]
    return replace(choice, index=index, margin=margin)


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
    none = np.flatnonzero(~there)
    margin, strong = np.where(there, choice.margin, np.nan), np.full(len(sheet), np.nan)
    margin[none], strong[none] = _without(choice, table, sheet["operator"], none)
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
        operator_torque_max=strong * required[2],
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


def _without(choice: Choice, table: Operators, operator: np.ndarray, rows: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Of items for which none holds: margin of the strongest operator of the very kind that stands in the Sheet, and of the weakest
    that would do but is stronger than the shaft; nan where there is none."""
    words, inverse = np.unique(operator[rows], return_inverse=True)
    of_kind = (table.kind[None, :] == words[:, None])[inverse]
    margins = choice.margins[rows]
    best = np.where(of_kind, margins, -np.inf).max(axis=1)
    least = np.where((choice.reason[rows] == SHAFT) & of_kind, margins, np.inf).min(axis=1)
    return np.where(np.isfinite(best), best, np.nan), np.where(np.isfinite(least), least, np.nan)


def _flange_torque(top_flange: np.ndarray) -> np.ndarray:
    words, inverse = np.unique(top_flange, return_inverse=True)
    found = []
    for word in words:
        try:
            found.append(limit("R118", str(word)))
        except KeyError:
            found.append(np.nan)
    return np.array(found)[inverse]
