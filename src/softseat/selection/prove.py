"""What the papers of one item print beside the choice: dimensions, tests, bolting, calculation sheet."""

import dataclasses
from typing import Any

import numpy as np

from softseat.errors import SoftseatError
from softseat.maker.package import Maker
from softseat.names import names
from softseat.piping.bolting import bolting_list
from softseat.piping.remedy import flush_angle
from softseat.piping.swing import disc_swing
from softseat.pressure.testing import proof_pressures
from softseat.register import CALCULATIONS, Step, trace
from softseat.selection.fit import fit
from softseat.selection.item import Number
from softseat.selection.plan import plan, shown_seconds
from softseat.selection.sizing import sizing
from softseat.selection.torques import torque_curve
from softseat.selection.turning import operated
from softseat.sheet import Sheet
from softseat.units import from_si

MILLIMETRES = {
    "face_to_face": "face_to_face_series", "disc_diameter": "disc_diameter", "disc_edge_thickness": "disc_edge_thickness",
    "shaft_diameter": "shaft_diameter", "body_outside": "body_outside", "bolt_circle": "bolt_circle", "hole_diameter": "hole_diameter",
    "flange_outside": "flange_outside", "flange_thickness": "flange_thickness", "centre_to_top": "centre_to_top",
    "centre_to_bottom": "centre_to_bottom", "pipe_bore": "pipe_bore_used", "liner_thickness": "liner_thickness", "square": "square",
    "neck": "neck",
}  # fmt: skip
OPERATOR_SIZE = {
    "levers": ("length", None),
    "gears": ("wheel_diameter", "height"),
    "cylinders": ("length", None),
    "electrics": (None, "height"),
}
PASCAL = 1e5


def dimensions(sheet: Sheet, maker: Maker, n: int) -> dict[str, Number]:
    """What the drawing shows, in mm; a figure that is not known is left out."""
    found = {"bore": Number(float(sheet["dn"][n]), "mm", basis="nominal")}
    for name, column in MILLIMETRES.items():
        _put(found, name, sheet[column][n] * 1e3)
    if np.isfinite(sheet["holes"][n]):
        found["holes"] = Number(float(sheet["holes"][n]), "-", basis="table")
    _put(
        found,
        "disc_swing",
        1e3 * float(disc_swing(sheet["disc_diameter"][n], sheet["face_to_face_series"][n], sheet["disc_edge_thickness"][n])),
    )
    for table, (length, height) in OPERATOR_SIZE.items():
        at = np.flatnonzero(maker.table(table)["key"] == sheet["operator_key"][n])
        if len(at):
            for shown, held in (("operator_length", length), ("operator_height", height)):
                if held:
                    _put(found, shown, maker.table(table)[held][at[0]] * 1e3)
    angle = float(flush_angle(sheet["disc_diameter"][n], sheet["face_to_face_series"][n], sheet["disc_edge_thickness"][n]))
    if np.isfinite(angle):
        found["flush_angle"] = Number(round(angle, 1), "deg", basis="geometry")
    return found


def _put(found: dict[str, Number], name: str, value: float) -> None:
    if np.isfinite(value):
        found[name] = Number(float(f"{value:.5g}"), "mm", basis="maker's data")


def tests(sheet: Sheet, n: int) -> dict[str, Any]:
    """Test pressures and times by the standard of the item, and the lines of its inspection and test plan."""
    asked = str(sheet["test_standard"][n])
    standard = {"EN12266": "EN 12266-1", "API598": "API 598", "": "EN 12266-1"}.get(asked, asked)
    medium = "air" if sheet["is_gas"][n] else "water"
    try:
        found = _proof(sheet, n, standard, medium)
    except SoftseatError:  # a standard that has no table here: the usual one is offered
        standard = "EN 12266-1"
        found = _proof(sheet, n, standard, medium)
    shell, seat, shell_time, seat_time, leak, sure, remark = found
    words = {
        "standard": standard,
        "shell": f"{shell / PASCAL:.1f} bar(g)",
        "seat": f"{seat / PASCAL:.1f} bar(g)",
        "shell_time": shown_seconds(shell_time),
        "seat_time": shown_seconds(seat_time),
        "leakage": "rate A",
    }
    return {
        "standard": standard,
        "shell": Number(round(shell / PASCAL, 2), "bar(g)", basis="calculated", at="water"),
        "seat": Number(round(seat / PASCAL, 2), "bar(g)", basis="calculated", at=medium),
        "shell_time": Number(shell_time, "s"),
        "seat_time": Number(seat_time, "s"),
        "leak_limit": "none visible in the test time (rate A)" if leak == 0 else f"{leak * 1e9:.3g} mm3/s",
        "certainty": sure,
        "remark": remark,
        "plan": plan(sheet, n, words),
    }


def _proof(sheet: Sheet, n: int, standard: str, medium: str) -> tuple[float, float, float, float, float, str, str]:
    """Tests are made cold: by the rating at room temperature of body and seat."""
    pn = float(sheet["pn_valve"][n])
    body, seat = str(sheet["body"][n]), float(sheet["seat_rating"][n])
    return proof_pressures(standard, f"PN{pn:g}", f"DN{sheet['dn'][n]:g}", medium, body, pn * PASCAL, seat)


def bolting(sheet: Sheet, n: int) -> tuple[dict[str, Any], ...]:
    """Lines of the bolting list of one valve."""
    thickness, length = sheet["flange_thickness"][n], sheet["face_to_face_series"][n]
    bolt, holes = str(sheet["bolt"][n]), sheet["holes"][n]
    if not (np.isfinite(thickness) and np.isfinite(length) and np.isfinite(holes) and bolt):
        return ()
    depth = float(sheet["thread_depth"][n])
    try:
        lines = bolting_list(
            str(sheet["body_style"][n]),
            float(length) + 2 * float(sheet["spacer"][n]),
            float(thickness),
            bolt,
            int(holes),
            thread_depth=depth if np.isfinite(depth) else None,
        )
    except SoftseatError:
        return ()
    return tuple({k: _shown_length(k, v) for k, v in dataclasses.asdict(line).items()} for line in lines)


def _shown_length(key: str, value: Any) -> Any:
    if isinstance(value, float) and not np.isfinite(value):
        return None
    return round(value * 1e3, 1) if key == "length" else round(value, 1) if isinstance(value, float) else value


def steps(sheet: Sheet, maker: Maker, n: int) -> tuple[dict[str, Any], ...]:
    """The calculation sheet: the functions that decided, run once more on this item with the trace on."""
    one = sheet.item(n)
    with np.errstate(all="ignore"), trace() as taken:
        sized = sizing(one)
        operated(fit(sized, maker), maker, torque_curve(sized, maker))
    last: dict[str, Step] = {}
    for step in taken:
        last[step.calculation] = step
    return tuple(_written(step) for step in last.values())


def _written(step: Step) -> dict[str, Any]:
    known = CALCULATIONS[step.calculation]
    results = step.result if isinstance(step.result, tuple) else (step.result,)
    return {
        "calculation": step.calculation,
        "title": known.title,
        "formula": known.formula,
        "source": known.source,
        "inputs": {k: _few(v, k) for k, v in step.inputs.items() if _few(v, k) is not None},
        "results": {e.name: _few(r, e.name) for e, r in zip(known.outputs, results, strict=False)},
    }


def _few(value: Any, name: str) -> Any:
    """A value of the trace as shown: a number with its unit, a short list, a word."""
    if value is None or isinstance(value, str | bool):
        return value
    flat = np.asarray(value).ravel()
    if flat.dtype.kind not in "fiu":
        return [str(v) for v in flat[:3]]
    entry = names().get(name)
    unit = entry.shown if entry else ""
    numbers = [float(from_si(v, unit)) if entry and entry.unit != unit else float(v) for v in flat[:3].astype(float)]
    rounded = [float(f"{v:.5g}") if np.isfinite(v) else None for v in numbers]
    return {"value": rounded[0] if len(rounded) == 1 else rounded, "unit": unit, "of": int(flat.size)}
