"""Curves of one item over the opening: Kv, the torque of the valve, what the operator gives."""

import numpy as np

from softseat.flow.curves import kv_curve
from softseat.selection.decide import Decision
from softseat.selection.item import Curve

KV_OPENINGS = np.arange(5.0, 91.0, 5.0)


def curves(decision: Decision, n: int) -> tuple[Curve, ...]:
    """Kv with its band, required torque opening and closing, and the operator's torque at its lowest supply."""
    offered, turning = decision.offered, decision.turning
    kv = kv_curve(float(offered["dn"][n]) * 1e-3, KV_OPENINGS)
    found = [_curve("Kv", "m3/h", KV_OPENINGS, kv)]
    angle = turning.curve.angle
    for name, torque in (("torque required, opening", turning.curve.opening), ("torque required, closing", turning.curve.closing)):
        if np.isfinite(torque[:, n]).all():
            found.append(_curve(name, "N m", angle, torque[:, n]))
    given = _given(decision, n)
    if given is not None:
        found.append(Curve("torque of the operator", "N m", _plain(angle), _plain(given)))
    return tuple(found)


def _curve(name: str, unit: str, at: np.ndarray, band: np.ndarray) -> Curve:
    return Curve(name, unit, _plain(at), _plain(band[1]), _plain(band[0]), _plain(band[2]))


def _plain(values: np.ndarray) -> tuple[float, ...]:
    return tuple(float(f"{v:.4g}") for v in values)


def _given(decision: Decision, n: int) -> np.ndarray | None:
    """Torque of the chosen operator at each angle at its lowest supply, opening."""
    k = int(decision.turning.choice.index[n])
    if k < 0:
        return None
    table = decision.turning.operators
    if np.isfinite(table.flat[k]):
        return np.full(decision.turning.curve.angle.shape, table.flat[k])
    air = float(decision.offered["air_min"][n]) - 101325.0
    spring = 1 if str(decision.offered["fail"][n]) == "open" else 0
    both = [table.slope[spring, way, k] * air + table.base[spring, way, k] for way in (0, 1)]
    return np.minimum(*both)
