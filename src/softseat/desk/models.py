"""Live models to learn from: sliders in, words and a drawing out; every number comes from a registered calculation."""

import csv
import functools
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from importlib.resources import files

from softseat.calculator import run
from softseat.desk.chart import Point, chart
from softseat.desk.marks import text
from softseat.papers.figures import figure
from softseat.selection.item import Curve

BAR = 1e5
ATMOSPHERE = 1.01325  # [bar]
CRITICAL = 220.64  # of water [bar], IAPWS R6-95
BORE = 0.3  # of the line in which a valve closes [m]
INK = 'stroke="currentColor"'
OPENINGS = [5.0 * k for k in range(1, 19)]
Values = Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Knob:
    """One slider."""

    key: str
    label: str
    low: float
    high: float
    step: float
    start: float


@dataclass(frozen=True, slots=True)
class Model:
    """One page to learn from, and the calculations that it runs."""

    key: str
    title: str
    words: str
    knobs: tuple[Knob, ...]
    draw: Callable[[Values], str]
    runs: tuple[str, ...]


@functools.cache
def models() -> Mapping[str, Model]:
    """Every model by its key."""
    knobs = _table("knobs")
    return {
        row["model"]: Model(
            row["model"], row["title"], row["words"], tuple(_knob(k) for k in knobs if k["model"] == row["model"]), *DRAWN[row["model"]]
        )
        for row in _table("models")
    }


def _table(name: str) -> list[dict[str, str]]:
    return list(csv.DictReader((files("softseat") / "desk" / f"{name}.csv").read_text("utf-8").splitlines()))


def _knob(row: Mapping[str, str]) -> Knob:
    low, high, step, start = (float(row[k]) for k in ("low", "high", "step", "start"))
    return Knob(row["key"], row["label"], low, high, step, start)


def interference(v: Values) -> str:
    """Squeeze of the disc edge against torque and tightness."""
    steps = [0.05 * i for i in range(1, 25)]
    same = {
        "disc_diameter": v["disc"] / 1e3, "liner_thickness": v["liner"] / 1e3, "edge_radius": 0.004, "land": 0.003,
        "friction": v["friction"], "hardness": v["hardness"],
    }  # fmt: skip
    swept = run("seat-contact", {**same, "interference": [s / 1e3 for s in steps]})
    now = run("seat-contact", {**same, "interference": v["interference"] / 1e3})
    value, low, high = (_known(swept[k]) for k in ("rim_torque", "rim_torque_low", "rim_torque_high"))
    torque = Curve("rim torque", "N m", tuple(steps), value, low, high)
    tight = Curve("holding pressure", "bar", tuple(steps), tuple(p / BAR for p in _known(swept["holding_pressure"])))
    at, across, held = v["interference"], "interference, mm", now["holding_pressure"]
    if held is None:
        return f"<p>{text('; '.join(now['notes']))}</p>"
    told = (
        f"<p>At {at:g} mm the edge holds {figure(held / BAR)} bar and costs {figure(now['rim_torque'])} N m "
        f"({figure(now['rim_torque_low'])} … {figure(now['rim_torque_high'])}) to leave the seat.</p>"
    )
    here = (Point("here", at, now["rim_torque"]),)
    return told + chart("Rim torque", "N m", (torque,), here, at, across) + chart("Holding pressure", "bar", (tight,), (), at, across)


def _known(values: list[float | None]) -> tuple[float, ...]:
    return tuple(math.nan if v is None else v for v in values)


def swing(v: Values) -> str:
    """The disc that swings out of the body into the pipe."""
    sizes = {"disc_diameter": v["disc"] / 1e3, "face_to_face": v["length"] / 1e3, "edge_thickness": v["edge"] / 1e3}
    found = run("bore-clearance", {**sizes, "pipe_bore": v["bore"] / 1e3})
    chord = run("disc-swing", sizes)["chord"]
    if chord is None or found["gap"] is None:
        return f"<p>The disc stays within its body: it does not reach into the pipe.</p>{_section(v)}"
    told = (
        f"<p>The disc needs {figure(chord * 1e3, 4)} mm at the flange face; the pipe leaves {figure(v['bore'], 4)} mm: "
        f"<b>{text(found['verdict'])}</b>, gap {figure(found['gap'] * 1e3)} mm a side.</p>"
    )
    return told + _section(v)


def _section(v: Values) -> str:
    """Pipe, body and disc to one scale, seen along the shaft."""
    scale, a, mid, up = 240 / max(v["disc"], v["bore"]), math.radians(v["opening"]), 260.0, 170.0
    half, bore, length = (v[k] / 2 * scale for k in ("disc", "bore", "length"))
    dx, dy, thick = half * math.sin(a), half * math.cos(a), max(3.0, v["edge"] * scale)
    left, right = mid - length, mid + length
    pipes = "".join(
        f'<line x1="{x0:.1f}" x2="{x1:.1f}" y1="{y:.1f}" y2="{y:.1f}" {INK} stroke-width="2"/>'
        for y in (up - bore, up + bore)
        for x0, x1 in ((10, left), (right, 510))
    )
    faces = "".join(f'<line x1="{x:.1f}" x2="{x:.1f}" y1="{up - half - 16:.1f}" y2="{up + half + 16:.1f}" {INK}/>' for x in (left, right))
    walls = (up - half - 15, up + half + 1)
    body = "".join(f'<rect class="shade" x="{left:.1f}" y="{y:.1f}" width="{2 * length:.1f}" height="14"/>' for y in walls)
    circle = f'<circle cx="{mid}" cy="{up}" r="{half:.1f}" fill="none" {INK} stroke-dasharray="3 4"/>'
    ends = f'x1="{mid - dx:.1f}" y1="{up - dy:.1f}" x2="{mid + dx:.1f}" y2="{up + dy:.1f}"'
    disc = f'<line {ends} {INK} stroke-width="{thick:.1f}"/>'
    said = f'role="img" aria-label="disc at {v["opening"]:g} degrees in its pipe"'
    return f'<svg viewBox="0 0 520 340" {said}>{body}{faces}{pipes}{circle}{disc}</svg>'


def throttling(v: Values) -> str:
    """What is left of control in the line, and when the water boils behind the disc."""
    line, alone = (
        run("installed-flow", {"opening": OPENINGS, "authority": a, "shape": "isa"})["flow_fraction"] for a in (v["authority"], 1.0)
    )
    drawn = (
        Curve("in this line", "-", tuple(OPENINGS), _known(line)),
        Curve("with all the drop on the valve", "-", tuple(OPENINGS), _known(alone)),
    )
    return _boiling(v) + chart("Flow", "of full flow", drawn, (), v["opening"])


def _boiling(v: Values) -> str:
    at = run("butterfly-kv", {"bore": 0.2, "opening": v["opening"]})
    p1, p2 = (v["p1"] + ATMOSPHERE) * BAR, (v["p2"] + ATMOSPHERE) * BAR
    told = f"<p>DN200 at {v['opening']:g}°: Kv {figure(at['kv'])} m³/h, FL {figure(at['fl'])}. "
    if p2 >= p1:
        return f"{told}The pressure behind is not below the one before: nothing flows.</p>"
    pv = run("saturation", {"medium": "water", "temperature": v["t"] + 273.15})["pressure"]
    choked = run("liquid-choking-pressure", {"p1": p1, "pv": pv, "pc": CRITICAL * BAR, "fl": at["fl"]})["p2"]
    state = run("cavitation-regime", {"p1": p1, "p2": p2, "pv": pv, "kv": at["kv"], "fl": at["fl"], "fd": at["fd"]})["regime"]
    sigma = run("cavitation-index", {"p1": p1, "p2": p2, "pv": pv})["sigma"]
    where = f"It chokes when the pressure behind falls to {figure(choked / BAR - ATMOSPHERE)} bar(g)."
    return f"{told}Cavitation index {figure(sigma)}: regime <b>{text(state)}</b>. {where}</p>"


def surge(v: Values) -> str:
    """Closing: the head at the valve."""
    line = {
        "length": v["length"], "bore": BORE, "friction_factor": 0.018, "wave_speed": v["wave"], "reservoir_head": 60.0, "valve_head": 1.0,
        "closing_time": v["time"], "flow": v["speed"] * math.pi / 4 * BORE**2, "law": "linear", "reaches": 20,
    }  # fmt: skip
    found = run("closure-surge", line)
    times, heads = (tuple(float(x) for x in series) for series in zip(*found["history"], strict=True))
    curve = Curve("head at the valve", "m", times, heads)
    told = (
        f"<p>The wave needs {figure(found['critical_time'])} s there and back; closed in {v['time']:g} s the head rises to "
        f"{figure(found['peak_head'])} m and falls to {figure(found['lowest_head'])} m. "
        f"Closed at once it would rise by {figure(found['joukowsky_head'])} m.</p>"
    )
    notes = "".join(f"<p class='small'>{text(n)}</p>" for n in found["notes"])
    return told + chart(f"Head at the valve, DN{BORE * 1e3:g}", "m", (curve,), (), None, "time, s") + notes


def least(v: Values) -> str:
    """A chain of ratings: the weakest link is the valve's."""
    parts = ("shell", "seat", "shaft", "dead_end")
    found = run("valve-rating", {k: v[k] * BAR for k in parts})
    bars = "".join(_bar(n, k.replace("_", " "), v[k], found["limited_by"].replace("_", " ")) for n, k in enumerate(parts))
    weakest = text(found["limited_by"])
    told = f"The valve may bear <b>{figure(found['pressure'] / BAR)} bar</b>: {weakest} limits it, whatever is cast on the body."
    return f'<p>{told}</p><svg viewBox="0 0 520 200" role="img" aria-label="ratings of the parts">{bars}</svg>'


def _bar(n: int, said: str, value: float, weakest: str) -> str:
    y, wide = 26 + 40 * n, value * 15
    fill, mark = ("currentColor", " – the least") if said == weakest else ("none", "")
    box = f'<rect x="90" y="{y}" width="{wide:.0f}" height="20" fill="{fill}" {INK}/>'
    words = f'<text x="{98 + wide:.0f}" y="{y + 15}" font-size="13">{value:g} bar{mark}</text>'
    return f'<text x="0" y="{y + 15}" font-size="13">{text(said)}</text>{box}{words}'


DRAWN: Mapping[str, tuple[Callable[[Values], str], tuple[str, ...]]] = {
    "interference": (interference, ("seat-contact",)),
    "swing": (swing, ("disc-swing", "bore-clearance")),
    "throttling": (throttling, ("installed-flow", "butterfly-kv", "cavitation-regime", "liquid-choking-pressure", "saturation")),
    "surge": (surge, ("closure-surge",)),
    "least": (least, ("valve-rating",)),
}
