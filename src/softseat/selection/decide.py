"""Arrays in, arrays and verdicts out: ten thousand items as one."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import cast

import numpy as np

from softseat.enquiry.facts import read_facts
from softseat.maker.package import Maker
from softseat.maker.valves import BODY_STYLES, row_of
from softseat.materials.elastomers import default_grade, known
from softseat.register import HOLDS
from softseat.selection.builds import Ladder, parts
from softseat.selection.choose import Choice
from softseat.selection.derive import derive
from softseat.selection.fit import fit, laid, ringed
from softseat.selection.hammer import safe_stroke, surge_screen
from softseat.selection.identify import identify
from softseat.selection.judge import judge, safety, severity
from softseat.selection.medium import medium_columns
from softseat.selection.operate import operators
from softseat.selection.parts import bush_columns, disc_columns, liner_columns, valve_columns
from softseat.selection.schedule import tag_columns
from softseat.selection.settle import settle
from softseat.selection.sizing import merged, sized, sizing
from softseat.selection.torques import torque_curve
from softseat.selection.trial import Trial, trial
from softseat.selection.turning import Turning, operated
from softseat.selection.verdict import NO, verdict
from softseat.sheet import DERIVED, GIVEN, MISSING, Sheet
from softseat.torque.over_angle import TorqueCurve

PARTS = ("body_style", "body", "disc", "shaft", "liner", "liner_grade", "liner_build", "bush", "operator")


@dataclass(frozen=True, slots=True)
class Decision:
    """As asked and as offered: two Sheets through the same functions, what every rule says of each, and the verdicts."""

    asked: Sheet
    offered: Sheet
    judged_asked: Mapping[str, np.ndarray]
    judged_offered: Mapping[str, np.ndarray]
    as_asked: np.ndarray
    as_offered: np.ndarray
    weighed: Mapping[str, Choice]
    turning: Turning
    overruled: tuple[tuple[int, str, str, str], ...] = ()  # item, rule, reason, who answers for it


def prepare(sheet: Sheet) -> Sheet:
    """What follows from the enquiry alone: facts, media, usual values, properties."""
    for step in (read_facts, identify, medium_columns, settle, derive, tag_columns, _renamed):
        sheet = step(sheet)
    return sheet


def _renamed(sheet: Sheet) -> Sheet:
    """Columns under the name by which a rule reads them, and those that only a maker's paper could fill."""
    words = {
        "diameter_given": "after coating",
        "actuator_soft_parts_checked": "",
        "pointer": "keyed to the shaft end",
        "plasticiser": "",
        "neck_holes": "",
        "ship_position": "5 deg open",
        "insertion": "near closed",
        "grease": "silicone",
        "nameplate_t_limit": "yes",
        "deviation_clause": "yes",
        "hold_points": "in the plan",
        "centred": "",
        "filler": "",
    }
    numbers = ("swell", "life_asked_t", "life_tested_t_max", "difference_rating", "liner_seat_outside", "bore_gap", "shell_rating",
               "valve_rating", "claimed_rating", "class_limit", "shelf_years")  # fmt: skip
    size = len(sheet)
    sheet = sheet.adding(DERIVED, **{n: np.full(size, w) for n, w in words.items()})
    sheet = sheet.adding(MISSING, **{n: np.full(size, np.nan) for n in numbers})
    return sheet.adding(
        DERIVED,
        dn_line=sheet["dn"].copy(),
        ship_flag=sheet["ship"],
        absorbed_dose=sheet["dose"],
        pipe_bore_known=np.zeros(size, bool),
        fail_given_up=np.zeros(size),
        liner_build_open=~np.isin(sheet["liner_build"], ("bonded", "backed")),
    )


def decide(sheet: Sheet, maker: Maker, thorough: bool = True) -> Decision:
    """Every item of an enquiry: verdict as asked, the best build of the maker's, verdict as offered.

    Not ``thorough``, what cannot be the best build any more is not weighed: the same decision, without the ladder of the others.
    """
    with np.errstate(all="ignore"):
        base = prepare(sheet)
        line = marked(laid(sizing(base)))
        usual = _usual(line, maker)
        curve = torque_curve(usual, maker)
        asked = as_asked(line, maker, usual, curve)
        judged_asked = judge(asked)
        offered, weighed, turned = as_offered(line, maker, None if thorough else (usual, curve))
        judged_offered = judge(offered)
    weights = severity()
    return Decision(
        asked,
        offered,
        judged_asked,
        judged_offered,
        verdict(judged_asked, weights, safety()),
        verdict(judged_offered, weights, safety()),
        weighed,
        turned,
    )


def as_asked(line: Sheet, maker: Maker, usual: Sheet | None = None, curve: TorqueCurve | None = None) -> Sheet:
    """The asked parts as they stand: one that is not named constrains nothing; the operator against the torque of a usual build."""
    line = marked(line) if usual is None else line
    sheet = line.adding(DERIVED, liner_build_taken=np.where(line["liner_build"] == "", "bonded", line["liner_build"]))
    sheet = rated_as_asked(sheet, maker)
    sheet = bush_columns(disc_columns(liner_columns(sheet)))
    usual = _usual(line, maker) if usual is None else usual
    sheet = fit(surge_screen(_measured(sheet, usual)), maker)
    curve = torque_curve(usual, maker) if curve is None else curve
    named = np.where(line["operator"] == "", "bare_shaft", line["operator"])  # none is asked for: none need be found
    turned = operated(usual.adding(operator=named, fail=line["fail"]), maker, curve).sheet
    names = ("torque_required", "shaft_limit", "lever_length", "hand_force", "operator_torque_at_air_min", "operator_torque_max",
        "lever_nm_asked",
             "aged_factor_in_torque", "top_flange_torque", "operator_found")  # fmt: skip
    for name in names:
        sheet = sheet.adding(turned.state[name], **{name: turned[name]})
    return sheet.adding(turned.state["shaft_use"], shaft_use=np.full_like(turned["shaft_use"], np.nan))


def marked(sheet: Sheet) -> Sheet:
    """The Sheet with every part that can be asked for: named or open, and the usual grade of a rubber."""
    grade = sheet["liner_grade"] if "liner_grade" in sheet else np.full(len(sheet), "")
    typed = np.where(sheet["liner"] == "", "", np.where(_known(sheet["liner_typed"]), sheet["liner_typed"], sheet["liner"]))
    words, inverse = np.unique(typed, return_inverse=True)
    usual = np.array([default_grade(str(w)) if known(str(w)) else "" for w in words])[inverse]
    sheet = sheet.adding(DERIVED, liner_grade=np.where(grade != "", grade, usual))
    for name in PARTS:
        if name not in sheet:
            sheet = sheet.adding(MISSING, **{name: np.full(len(sheet), "")})
        named = sheet[name] != ""
        sheet = sheet.adding(np.where(named, GIVEN, MISSING).astype(np.uint8), **{name: sheet[name]})
    return sheet


def _known(words: np.ndarray) -> np.ndarray:
    """Whether a word as typed names a grade (NBR high), not only a rubber."""
    different, inverse = np.unique(words, return_inverse=True)
    return np.array([known(str(w)) for w in different])[inverse]


def _made_at(pn: float, sheet: Sheet, maker: Maker) -> np.ndarray:
    """Whether the maker has it at this rating: in the style that is stated, else in any. A class names the drilling only."""
    style, rated = sheet["body_style"], np.full(len(sheet), pn)
    return np.any([(row_of(maker, np.where(style == "", s, style), sheet["dn"], rated) >= 0) for s in BODY_STYLES], axis=0)


def rated_as_asked(sheet: Sheet, maker: Maker) -> Sheet:
    """Figures of the maker's valve at the asked rating, so far as it is one of his."""
    american = np.isin(sheet["rating"], ("Class 150", "Class 125"))
    pn = np.where(american, np.where(_made_at(16.0, sheet, maker), 16.0, 10.0), sheet["pn"])  # large valves carry 150 psi
    return valve_columns(sheet.adding(DERIVED, pn_valve=np.where(np.isnan(pn), 10.0, pn)), maker)


def _measured(sheet: Sheet, usual: Sheet) -> Sheet:
    """Where no body style is asked the disc and length of the usual build stand for the check in the pipe."""
    for name in ("disc_diameter", "disc_edge_thickness", "face_to_face_series"):
        open_ = np.isnan(sheet[name])
        sheet = sheet.adding(np.where(open_, usual.state[name], sheet.state[name]), **{name: np.where(open_, usual[name], sheet[name])})
    return sheet


def _usual(line: Sheet, maker: Maker) -> Sheet:
    """A complete build of the maker's at the line size that keeps the asked parts so far as the rules let it."""
    return parts(line, maker, thorough=False).sheet


def as_offered(line: Sheet, maker: Maker, usual: tuple[Sheet, TorqueCurve] | None = None) -> tuple[Sheet, dict[str, Choice], Turning]:
    """The best build: size, body, liner, disc, shaft, bush, operator, stroke time, each by the rules that speak of it.

    ``usual`` is the best build at the line size with its torque: where it is known, only items of another size are looked at, and no
    ladder is kept.
    """
    thorough = usual is None
    sheet, size_choice, moved = sized(line, maker, thorough)
    ladder = parts(sheet, maker) if usual is None else Ladder(_moved(usual[0], sheet, moved, maker))
    sheet = ringed(fit(ladder.sheet, maker))
    sheet = _slower(surge_screen(sheet))
    sheet, operator_choice, turned = operators(sheet, maker, thorough, usual)
    sheet = sheet.adding(DERIVED, liner_build_taken=sheet["liner_build"])
    weighed = {**ladder.weighed, "operator": operator_choice}
    if size_choice is not None:
        weighed["size"] = size_choice
    return sheet, weighed, turned


def _moved(usual: Sheet, sheet: Sheet, rows: np.ndarray, maker: Maker) -> Sheet:
    """The usual builds, and those of the items that are given another size."""
    return merged(usual, cast(Trial, parts(trial(sheet, rows), maker, thorough=False).sheet), rows) if len(rows) else usual


def _slower(sheet: Sheet) -> Sheet:
    """Where the stated stroke would raise the pressure above the rating, the shortest one that does not."""
    judged = judge(sheet, ("R130", "R134"))
    bad = (judged["R130"] == HOLDS) | (judged["R134"] == HOLDS)
    stroke = safe_stroke(sheet, bad)
    moved = bad & ~np.isnan(stroke)
    slower = np.where(moved, stroke, sheet["stroke_time"])
    return surge_screen(sheet.adding(sheet.state["stroke_time"], stroke_time=slower, stroke_asked=sheet["stroke_time"]))


def refused(decision: Decision) -> np.ndarray:
    """Items that cannot be offered."""
    return np.asarray(decision.as_offered == NO)
