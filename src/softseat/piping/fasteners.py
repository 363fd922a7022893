"""Bolts, nuts and washers, metric and inch, and the lengths that they are sold in."""

import functools
import math
from dataclasses import dataclass

import numpy as np

from softseat.errors import UnknownName
from softseat.tables import Row, column, number, read
from softseat.tables.nominal import listed


@dataclass(frozen=True, slots=True)
class Fastener:
    """Lengths in m, area in m2; nan where the table has none."""

    bolt: str
    metric: bool
    diameter: float
    pitch: float
    area: float  # tensile
    nut: float  # ISO 4032, or ASME heavy hex
    washer: float
    head: float


def _metric(row: Row) -> Fastener:
    heads = "d_mm", "pitch_mm", "nut_iso4032_m_mm", "washer_iso7089_h_mm", "head_iso4014_k_mm"
    d, pitch, nut, washer, head = (number(row[h], "mm") for h in heads)
    return Fastener(row["thread"], True, d, pitch, number(row["As_mm2"]) * 1e-6, nut, washer, head)


def _inch(row: Row) -> Fastener:
    mm = {h: number(row[h], "mm") for h in ("d_mm", "nut_heavy_hex_mm", "nut_hex_mm")}
    pitch = 0.0254 / number(row["tpi_unc"])
    area = number(row["As_unc_in2"]) * 0.0254**2
    return Fastener(f"{row['size_in']} in", False, mm["d_mm"], pitch, area, mm["nut_heavy_hex_mm"], 0.0, mm["nut_hex_mm"])


@functools.cache
def fasteners() -> dict[str, Fastener]:
    """Every fastener, by the name of its thread: M20, 3/4 in."""
    found = [_metric(r) for r in read("fasteners_metric")] + [_inch(r) for r in read("fasteners_inch")]
    return {f.bolt: f for f in found}


def fastener(bolt: str) -> Fastener:
    """The fastener of a thread as written: M20, M 20, 3/4, 3/4 in, 1 1/8".

    Parameters
    ----------
    bolt : str
        Thread.

    Raises
    ------
    UnknownName
        Where no table has it.
    """
    text = bolt.strip().rstrip('"″').removesuffix("in").strip().upper().replace(" UNC", "")
    text = text.replace(" ", "") if text.startswith("M") else text.replace(" ", "-") + " in"
    try:
        return fasteners()[text]
    except KeyError:
        raise UnknownName(f"bolt {bolt!r} is not known; known are {listed(fasteners())}") from None


@functools.cache
def allowance(key: str) -> float:
    """One allowance of bolting, in SI.

    Parameters
    ----------
    key : str
        As the table ``bolting_allowances`` has it.
    """
    units = {"-": 1.0, "mm": 1e-3, "MPa": 1e6}
    return next(number(r["value"]) * units[r["unit"]] for r in read("bolting_allowances") if r["key"] == key)


def sold_length(least: float, metric: bool) -> float:
    """The next length up that is sold [m]; nan beyond the longest.

    Parameters
    ----------
    least : array_like
        Least length. [m]
    metric : bool
        Steps of ISO 888; else those of inch studs.
    """
    if not metric:
        step = allowance("inch_step")
        return math.ceil(round(least / step, 6)) * step if math.isfinite(least) else float("nan")
    ladder = column("bolt_lengths", "length_mm", "mm")
    there = ladder[ladder >= least - 1e-9]
    return float(there[0]) if there.size else float("nan")


def sold_length_below(most: float, metric: bool) -> float:
    """The next length down that is sold [m]; nan below the shortest.

    Parameters
    ----------
    most : array_like
        Greatest length. [m]
    metric : bool
        Steps of ISO 888; else those of inch screws.
    """
    if not metric:
        step = allowance("inch_screw_step")
        return math.floor(round(most / step, 6)) * step if most >= step else float("nan")
    ladder = column("bolt_lengths", "length_mm", "mm")
    there = ladder[ladder <= most + 1e-9]
    return float(there[-1]) if there.size else float("nan")


def tightening(bolt: str) -> tuple[float, float]:
    """Torque for the highest preload of practice, oiled and dry: T = K F d. [N m]

    Parameters
    ----------
    bolt : str
        Thread: M20, 3/4 in.

    References
    ----------
    Shigley, Mechanical Engineering Design: nut factor K. The preload share is common practice, no source; a rubber-lined valve
    needs contact of flange and body, not this torque.
    """
    f = fastener(bolt)
    force = allowance("preload_share") * allowance("preload_yield") * f.area
    oiled, dry = (float(allowance(k) * force * f.diameter) for k in ("nut_factor_oiled", "nut_factor_dry"))
    return (oiled, dry) if np.isfinite(dry) else (float("nan"), float("nan"))
