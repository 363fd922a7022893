"""What fits in place of an old valve: from its nameplate or from what was measured, the maker's valves, the spool, and what to ask."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from softseat.errors import InputError, UnknownName
from softseat.maker.package import Maker
from softseat.operators.flange import masks
from softseat.piping.flange import flange, flange_from_measures
from softseat.piping.length import face_to_face, replacement_spool
from softseat.tables import number, read
from softseat.tables.nominal import dn
from softseat.units import known
from softseat.units import read as read_unit
from softseat.works.practice import practice

MEASURES = ("face_to_face", "bolt_circle", "holes", "hole_diameter", "outside_diameter", "joints")
WORDS = ("size", "drilling_system", "rating", "top_flange", "body_style", "operator_kept")
ASKS = {
    "face_to_face": "How long is the old valve between the flange faces, and is there a joint on each side?",
    "bolt_circle": "Bolt circle, number and diameter of the holes: measured across the centres.",
    "outside_diameter": "Outside diameter of the pipe flange: it parts drillings that share their holes.",
    "top_flange": "Top flange of the old valve, its square or key, and height to the operator: only where the operator stays.",
    "pipe_bore": "Inside diameter of the pipe, with its lining, on both sides: the disc swings into it.",
    "flange_face": "Kind of flange (weld-neck, slip-on, stub end with backing ring) and its face: the liner seals on it.",
    "duty": "Medium with traces and cleaning, highest pressure and temperature, vacuum: the old valve's build is no proof of them.",
    "why": "Why is it being replaced?",
}


@dataclass(frozen=True, slots=True)
class Fit:
    """One of the maker's valves in place of the old one."""

    body_style: str
    dn: float
    rating: str
    drilling: str  # of the flange it meets
    face_to_face: float  # [m]
    spool: float  # what fills the gap; 0 where it fits as it is; nan where the gap is not known [m]
    top_flange: str
    operator_fits: str  # yes, bracket, not asked
    text: str


@dataclass(frozen=True, slots=True)
class Replacement:
    """What the old valve is, what fits, what does not and why, what to ask."""

    flanges: tuple[Mapping[str, Any], ...]  # system, rating, size, worst_difference [m]
    series: tuple[str, ...]  # face-to-face series that have this length at this size
    fits: tuple[Fit, ...]  # best first
    why_not: tuple[str, ...]
    ask: tuple[str, ...]


def measured(told: Mapping[str, Any]) -> dict[str, Any]:
    """Measures as typed ("294 mm", a bare number in SI) and words.

    Raises
    ------
    InputError
        Where a key is none of a replacement's, or a measure cannot be read.
    """
    stray = [k for k in told if k not in (*MEASURES, *WORDS)]
    if stray:
        raise InputError(f"replacement: {stray[0]!r} is not known; allowed are {', '.join((*MEASURES, *WORDS))}")
    found: dict[str, Any] = {k: str(told[k]) for k in WORDS if told.get(k)}
    for key in MEASURES:
        value = told.get(key)
        if value in (None, ""):
            continue
        if key == "holes" or not isinstance(value, str):
            found[key] = float(value)
        else:
            found[key] = read_unit(value, known("mm").dimension, "mm").value
        if not found[key] >= 0 or (found[key] == 0 and key != "joints"):
            raise InputError(f"replacement: {key} = {value!r} must be above 0")
    return found


def replacement(told: Mapping[str, Any], maker: Maker) -> Replacement:
    """What fits in place of an old valve.

    Parameters
    ----------
    told : mapping
        face_to_face, bolt_circle, holes, hole_diameter, outside_diameter, joints (all joints of the old valve together), as
        typed or in SI; or from the nameplate size, drilling_system, rating; top_flange; body_style.
    maker : Maker
        Whose valves.

    Raises
    ------
    InputError
        Where neither the flange nor the size can be known from what is told.
    """
    old = measured(told)
    flanges = _flanges(old)
    sizes = list(dict.fromkeys(dn(f["size"]) for f in flanges))
    length = old.get("face_to_face", float("nan"))
    series = tuple(dict.fromkeys(s for size in sizes for s in series_of(length, size)))
    fits, why_not = _fits(old, flanges, maker)
    return Replacement(tuple(flanges), series, tuple(fits), tuple(why_not), tuple(_asks(old, flanges)))


def _flanges(old: Mapping[str, Any]) -> list[Mapping[str, Any]]:
    """Drillings that the measures allow, cut to what the nameplate says."""
    found: list[Mapping[str, Any]]
    if all(k in old for k in ("bolt_circle", "holes", "hole_diameter")):
        outside = old.get("outside_diameter", float("nan"))
        found = list(flange_from_measures(old["bolt_circle"], old["holes"], old["hole_diameter"], outside))
    elif old.get("size") and old.get("rating"):
        system = old.get("drilling_system", "EN 1092-1")
        circle = flange(system, old["rating"], old["size"])[1]
        found = [{"system": system, "rating": old["rating"], "size": old["size"], "worst_difference": 0.0}] if np.isfinite(circle) else []
    else:
        raise InputError("replacement: wanted are bolt_circle, holes and hole_diameter, or size and rating from the nameplate")
    if old.get("size"):
        found = [f for f in found if dn(str(f["size"])) == dn(old["size"])]
    return found


def series_of(length: float, size: float) -> tuple[str, ...]:
    """Face-to-face series that have this length at this size, nearest first. [m], [-]"""
    near = []
    for row in read("face_to_face"):
        if number(row["DN"]) == size and row["certainty"] != "low":
            off = abs(number(row["L_mm"], "mm") - length)
            if off <= practice("measure_length"):
                near.append((off, row["key"]))
    return tuple(dict.fromkeys(key for _, key in sorted(near)))


def _fits(old: Mapping[str, Any], flanges: list[Mapping[str, Any]], maker: Maker) -> tuple[list[Fit], list[str]]:
    valves = maker.table("valves")
    found: list[Fit] = []
    why_not: list[str] = [] if flanges else ["no drilling of the tables has these measures, or none of this size is known"]
    for told in flanges:
        drilling, size = f"{told['system']} {told['rating']}", dn(str(told["size"]))
        rows = np.flatnonzero(valves["dn"] == size)
        if old.get("body_style"):
            rows = rows[valves["body_style"][rows] == old["body_style"]]
        if not rows.size:
            why_not.append(f"{drilling} DN{size:g}: {maker.title} has no valve of that size{' and style' if old.get('body_style') else ''}")
        for row in rows.tolist():
            fit, reason = _one(old, maker, row, told, drilling)
            if fit is not None:
                found.append(fit)
            else:
                why_not.append(reason)
    found.sort(key=lambda f: (np.nan_to_num(f.spool, nan=1e3), f.operator_fits == "bracket"))
    return found, list(dict.fromkeys(why_not))


def _one(old: Mapping[str, Any], maker: Maker, row: int, told: Mapping[str, Any], drilling: str) -> tuple[Fit | None, str]:
    """One valve of the maker at one drilling; why it does not go in."""
    v = {k: c[row].item() for k, c in maker.table("valves").items()}
    name = f"{v['body_style']} DN{v['dn']:g} {v['rating']}"
    if not _drilled(maker, v, told):
        return None, f"{name}: not made for flanges {drilling}"
    length = float(v["face_to_face"]) if np.isfinite(v["face_to_face"]) else _series_length(v)
    gap = old.get("face_to_face", float("nan")) + old.get("joints", 0.0)
    spool = float(replacement_spool(gap, length))
    if spool < -practice("measure_length"):
        return None, f"{name}: {length * 1e3:.0f} mm long, the gap is {gap * 1e3:.0f} mm: the line would have to be spread or cut"
    spool = 0.0 if abs(spool) <= practice("measure_length") else spool
    operator = _operator(old.get("top_flange", ""), str(v["top_flange"]))
    said = f"{name} between {drilling}: " + (
        "length not known"
        if np.isnan(spool)
        else "fits the gap"
        if spool == 0
        else f"a spool of {spool * 1e3:.0f} mm less its own joints fills the gap"
    )
    said += "; a bracket carries the old operator" if operator == "bracket" else ""
    return Fit(str(v["body_style"]), float(v["dn"]), str(v["rating"]), drilling, length, spool, str(v["top_flange"]), operator, said), ""


def _series_length(v: Mapping[str, Any]) -> float:
    return face_to_face(f"EN 558 {v['face_to_face_series']}", f"DN{v['dn']:g}")[0]


def _drilled(maker: Maker, v: Mapping[str, Any], told: Mapping[str, Any]) -> bool:
    table = maker.table("drillings")
    here = (table["system"] == told["system"]) & (table["rating"] == told["rating"])
    here &= (table["dn_min"] <= v["dn"]) & (v["dn"] <= table["dn_max"])
    styles = [s for s in table["body_styles"][here].tolist() if v["body_style"] in [w.strip() for w in s.split(";")]]
    return bool(styles)


def _operator(old: str, new: str) -> str:
    """Whether an operator of the old top flange goes on the new one."""
    if not old:
        return "not asked"
    try:
        one, other = (int(masks(np.array([w]))[0]) for w in (old, new))
    except UnknownName:
        return "bracket"
    return "yes" if one & other else "bracket"


def _asks(old: Mapping[str, Any], flanges: list[Mapping[str, Any]]) -> list[str]:
    """What is still to be asked, what decides most first."""
    keys = [k for k in ("face_to_face", "bolt_circle") if k not in old]
    pairs = {(f["system"], f["rating"]) for f in flanges}
    keys += ["outside_diameter"] if len(pairs) > 1 and "outside_diameter" not in old else []
    keys += ["top_flange"] if "top_flange" not in old else []
    return [ASKS[k] for k in (*keys, "duty", "pipe_bore", "flange_face", "why")]
