"""What was chosen for one item: the build and its code, what deviates from what was asked, the ladder of what was weighed."""

from typing import Any

import numpy as np

from softseat import tables
from softseat.register import RULES
from softseat.selection.decide import Decision
from softseat.selection.item import Deviation, Rung
from softseat.selection.words import said
from softseat.sheet import Sheet

AS_WELL = "would do, but is further from what was asked or dearer"
STYLE_CODE = {"wafer": "W", "lugged": "L", "double_flanged": "F"}
OPERATOR_CODE = {
    "lever": "LV",
    "gear": "GR",
    "pneumatic_da": "PD",
    "pneumatic_sr": "PS",
    "electric_onoff": "EO",
    "electric_modulating": "EM",
}
DEVIATING = ("body_style", "size", "rating", "liner", "disc", "body", "shaft", "operator", "fail", "stroke_time", "liner_build",
    "sealed_operator")  # fmt: skip


def build_code(sheet: Sheet, n: int) -> str:
    """The part code of one build: style and size, rating, body, liner, disc, shaft, operator."""

    def word(name: str) -> str:
        return str(sheet[name][n])

    dn, pn = (int(np.nan_to_num(sheet[name][n])) for name in ("dn", "pn_valve"))
    operator = word("operator")
    code = "-".join(
        [
            f"{STYLE_CODE.get(word('body_style'), 'X')}{dn}",
            str(pn),
            word("body").replace("GJS-", "D").replace("GJL-", "G"),
            word("liner_grade").replace("_", ""),
            word("disc").replace("_", ""),
            word("shaft").replace(".", ""),
            OPERATOR_CODE.get(operator, "BS"),
        ]
    )
    key = word("operator_key")
    return f"{code}-{key}" if key else code


def choice(sheet: Sheet, n: int) -> dict[str, Any]:
    """The build of one item under the names of the contract."""

    def word(name: str) -> str:
        return str(sheet[name][n])

    dn, pn = int(sheet["dn"][n]), int(sheet["pn_valve"][n])
    return {
        "build": build_code(sheet, n),
        "body_style": word("body_style"),
        "size": f"DN{dn}",
        "rating": f"PN{pn}",
        "body": word("body"),
        "liner": word("liner"),
        "liner_grade": word("liner_grade"),
        "liner_build": word("liner_build"),
        "disc": word("disc"),
        "coating": word("coating") or "epoxy, maker's standard",
        "shaft": word("shaft"),
        "bush": word("bush"),
        "drilling": word("drilling"),
        "operator": word("operator") or "bare_shaft",
        "operator_size": word("operator_key"),
        "top_flange": word("top_flange"),
        "retention": word("retention"),
        "lifting": word("lifting"),
        "mass": float(np.round(sheet["mass"][n], 1)),
    }


def deviations(decision: Decision, n: int) -> tuple[Deviation, ...]:
    """What was asked and is offered otherwise, with the rule that asked for it."""
    asked, offered = decision.asked, decision.offered
    found = []
    for name in DEVIATING:
        was, now = _value(asked, name, n), _value(offered, name, n)
        if was and now and was != now:
            found.append(Deviation(name, said(was), said(now), _reason(decision, name, n)))
    return tuple(found)


def _value(sheet: Sheet, name: str, n: int) -> str:
    if name == "size":
        dn = sheet["dn"][n]
        return f"DN{dn:g}" if np.isfinite(dn) else ""
    if name == "rating":
        pn = sheet["pn_valve"][n]
        return f"PN{pn:g}" if np.isfinite(pn) else ""
    if name == "sealed_operator":
        wet = str(sheet["installation"][n]) in ("buried", "submerged")
        return ("sealed for it" if sheet[name][n] else "sealing not named") if wet else ""
    if name == "stroke_time":
        value = sheet["stroke_time"][n]
        return f"{value:g} s" if np.isfinite(value) else ""
    return str(sheet[name][n])


PART_OF = {"size": "size", "liner": "liner", "disc": "disc", "body_style": "body_style", "body": "body", "shaft": "shaft",
    "operator": "operator",
           "fail": "operator"}  # fmt: skip
WHY = {"rating": "R037", "stroke_time": "R134", "liner_build": "R032", "fail": "R010"}


def _reason(decision: Decision, name: str, n: int) -> str:
    rows = tables.index("rules", "id")
    rules = [r for r, said_ in decision.judged_asked.items() if said_[n] != 0 and _speaks(r, name, rows[r]["severity"])]
    if not rules and name in WHY:
        rules = [WHY[name]]
    if not rules:
        return "suits the duty better"
    first = rows[rules[0]]
    return f"{first['reason']} ({rules[0]})"


def _speaks(rule: str, name: str, severity: str) -> bool:
    columns = {
        "liner": {"liner", "liner_letter", "liner_grade", "liner_t_max"},
        "disc": {"disc", "disc_letter"},
        "size": {"velocity", "opening_normal", "kv_share", "sigma_margin"},
        "operator": {"operator", "torque_required", "hand_force"},
        "fail": {"fail"},
        "stroke_time": {"stroke_time", "surge_pressure"},
    }.get(name, {name})
    return bool(columns & set(RULES[rule].needs)) and severity in ("stop", "query", "condition")


def ladder(decision: Decision, n: int) -> tuple[Rung, ...]:
    """What was weighed for liner, disc, body style and operator of one item, and why each other one is not it."""
    rows = tables.index("rules", "id")
    rungs = []
    for part in ("body_style", "liner", "disc", "operator"):
        weighed = decision.weighed[part]
        for k, name in enumerate(weighed.names):
            if not np.isfinite(weighed.cost[k, n]):
                continue
            stopped = str(weighed.stopped_by[k, n])
            chosen = bool(weighed.chosen[n] == k)
            why = "" if chosen else f"{rows[stopped]['reason']} ({stopped})" if stopped else AS_WELL
            rungs.append(Rung(f"{part.replace('_', ' ')}: {said(name)}", said(name), chosen, {}, why))
    margin = decision.offered["operator_margin"][n]
    if np.isfinite(margin):
        rungs = [_with_margin(r, float(margin)) if r.chosen and r.build.startswith("operator") else r for r in rungs]
    return tuple(rungs)


def _with_margin(rung: Rung, margin: float) -> Rung:
    return Rung(rung.build, rung.text, rung.chosen, {"operator torque over required": round(margin, 2)}, rung.why_not)
