"""Operating points of one item: what flows at the lowest, normal and highest flow, how far the disc stands open, what is lost."""

from typing import Any

import numpy as np

from softseat.flow.cavitation import cavitation_index
from softseat.flow.coefficient import loss_from_kv
from softseat.selection.item import Number
from softseat.selection.words import number
from softseat.sheet import Sheet

CONTROL = ("control", "throttle")


def points(sheet: Sheet, n: int) -> tuple[dict[str, Any], ...]:
    """One entry a stated flow, values as shown; an on-off valve stands full open."""
    found = []
    for point, flow, actual in (
        ("lowest", "flow_min", "actual_flow_min"),
        ("normal", "flow", "actual_flow_normal"),
        ("highest", "flow_max", "actual_flow"),
    ):
        stated = np.isfinite(sheet[flow][n]) or (point == "normal" and np.isfinite(sheet["mass_flow"][n]))
        if stated and np.isfinite(sheet[actual][n]):
            found.append(_point(sheet, n, point, flow, float(sheet[actual][n])))
    return tuple(found)


def _point(sheet: Sheet, n: int, point: str, flow: str, actual: float) -> dict[str, Any]:
    bore = float(sheet["dn"][n]) * 1e-3
    speed = actual / (np.pi / 4 * bore**2)
    shown = number(sheet, flow, n) or number(sheet, "mass_flow", n)
    entry: dict[str, Any] = {"point": point, "flow": shown, "velocity": Number(float(f"{speed:.4g}"), "m/s", basis="calculated")}
    control = str(sheet["duty"][n]) in CONTROL
    if control and point == "normal":
        for name, key in (("opening_normal", "opening"), ("kv_needed", "kv_needed"), ("noise", "noise")):
            if (value := number(sheet, name, n)) is not None:
                entry[key] = value
        p2 = sheet["p2"][n] if np.isfinite(sheet["p2"][n]) else sheet["p1"][n] - sheet["drop"][n]
        if np.isfinite(p2) and sheet["is_liquid"][n]:
            sigma, _ = cavitation_index(sheet["p1"][n], p2, np.nan_to_num(sheet["pv"][n]))
            entry["sigma"] = Number(float(f"{float(sigma):.3g}"), "-", basis="calculated")
    if not control and np.isfinite(sheet["density"][n]):
        loss = loss_from_kv(sheet["kv_full"][:, n][::-1], bore) * sheet["density"][n] * speed**2 / 2 / 1e5
        low, best, high = (float(f"{v:.3g}") for v in np.sort(loss))
        entry["pressure_drop"] = Number(best, "bar", low, high, "calculated", "full open")
    return entry
