"""Which operator is offered: the asked kind unless a rule speaks against it, else the nearest that does the duty."""

import numpy as np

from softseat.maker.package import Maker
from softseat.selection.choose import Candidate, Choice, choose
from softseat.selection.hammer import surge_screen
from softseat.selection.judge import reading
from softseat.selection.torques import torque_curve
from softseat.selection.trial import Trial
from softseat.selection.turning import Turning, operated
from softseat.sheet import DERIVED, Sheet
from softseat.torque.over_angle import TorqueCurve

KINDS = ("lever", "gear", "pneumatic_da", "pneumatic_sr", "electric_onoff", "electric_modulating")
# what stands nearest to a kind that cannot be had: lower is nearer
NEAR = {
    "lever": {"gear": 2, "pneumatic_da": 40, "electric_onoff": 45},
    "gear": {"lever": 30, "electric_onoff": 40, "pneumatic_da": 45},
    "pneumatic_da": {"pneumatic_sr": 2, "electric_onoff": 40, "gear": 60},
    "pneumatic_sr": {"pneumatic_da": 45, "electric_onoff": 50, "gear": 70},
    "electric_onoff": {"electric_modulating": 2, "pneumatic_da": 40, "gear": 60},
    "electric_modulating": {"electric_onoff": 40, "pneumatic_da": 45, "gear": 60},
    "": {"lever": 1, "gear": 2, "pneumatic_da": 30, "pneumatic_sr": 31, "electric_onoff": 32, "electric_modulating": 33},
}
FAR = 80.0
SEALABLE = ("gear", "electric_onoff", "electric_modulating")  # kinds that are had sealed for water and earth (IP68)
GIVEN_UP = 200.0  # the fail action is given up: dearer than any change of kind that keeps it


def operators(
    sheet: Sheet, maker: Maker, thorough: bool = True, known: tuple[Sheet, TorqueCurve] | None = None
) -> tuple[Sheet, Choice, Turning]:
    """The Sheet with the operator that is offered, what was weighed, and its torque; ``known`` as of ``torque_curve``."""
    curve = torque_curve(sheet, maker, known)
    asked = np.where(np.isin(sheet["operator"], KINDS), sheet["operator"], "")
    options = _options(sheet, asked)
    rules = tuple(dict.fromkeys((*reading("operator", "torque_required", "operator_torque_max", "hand_force"), "R118")))
    # what was chosen meets its torque below, once what is kept as it was asked stands beside it
    choice = choose(sheet, options, asked, rules, lambda s: complete(s, maker, curve), thorough=thorough, last=_sealed)
    untouched = np.isin(sheet["operator"], ("bare_shaft", "hydraulic", "float_or_counterweight"))
    kept = np.where(untouched, sheet["operator"], choice.sheet["operator"])
    final = operated(surge_screen(choice.sheet.adding(operator=kept)), maker, curve)
    return final.sheet, choice, final


def complete(sheet: Sheet, maker: Maker, curve: TorqueCurve) -> Sheet:
    """The Sheet, or a trial of some of its items, with the operator against its torque."""
    return operated(_sealed(sheet), maker, curve.take(sheet.rows) if isinstance(sheet, Trial) else curve).sheet


def _sealed(sheet: Sheet) -> Sheet:
    """Where the valve is buried or submerged the offer includes the sealed kind: what R124 says is said of the asked operator."""
    wet = np.isin(sheet["installation"], ("buried", "submerged")) & np.isin(sheet["operator"], SEALABLE)
    return sheet.adding(DERIVED, sealed_operator=sheet["sealed_operator"] | wet)


def _options(sheet: Sheet, asked: np.ndarray) -> list[Candidate]:
    everywhere = np.ones(len(sheet), bool)
    fail = sheet["fail"]
    wants = np.isin(fail, ("open", "close"))
    options = []
    for kind in KINDS:
        rank = np.select([asked == a for a in NEAR], [float(0 if a == kind else NEAR[a].get(kind, FAR)) for a in NEAR], FAR)
        if kind in ("lever", "gear"):  # a hand gives no fail action
            rank = rank + np.where(wants & (asked != kind), GIVEN_UP, 0.0)
        options.append(Candidate(kind, {"operator": kind, "fail": fail, "fail_given_up": np.zeros(len(sheet))}, everywhere, rank))
    # the fail action given up: the drive stays put, a deviation that is said
    for kind in ("pneumatic_da", "electric_onoff"):
        columns: dict[str, str | float | np.ndarray] = {
            "operator": kind,
            "fail": np.where(wants, "stay", fail),
            "fail_given_up": wants.astype(float),
        }
        options.append(Candidate(f"{kind} stay", columns, wants, GIVEN_UP))
    return options
