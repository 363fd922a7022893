"""Live models to learn from: sliders in, words and a drawing out; every number comes from a registered calculation."""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from softseat.calculator import run
from softseat.desk.chart import Point, chart
from softseat.desk.marks import text
from softseat.papers.figures import figure
from softseat.selection.item import Curve

BAR = 1e5
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
    """One page to learn from."""

    key: str
    title: str
    words: str
    knobs: tuple[Knob, ...]
    draw: Callable[[Values], str]
    from_: tuple[str, ...]  # the calculations that it runs


def interference(v: Values) -> str:
    """Squeeze of the disc edge against torque and tightness."""
    steps = [v["least"] + (1.2 - v["least"]) * i / 30 for i in range(31)]
    same = {
        "disc_diameter": v["disc"] / 1e3,
        "liner_thickness": 0.01,
        "edge_radius": 0.004,
        "land": 0.003,
        "friction": v["friction"],
        "hardness": v["hardness"],
    }
    swept = run("seat-contact", {**same, "interference": [s / 1e3 for s in steps]})
    now = run("seat-contact", {**same, "interference": v["interference"] / 1e3})
    hold = [p / BAR for p in swept["holding_pressure"]]
    torque = Curve(
        "rim torque", "N m", tuple(steps), tuple(swept["rim_torque"]), tuple(swept["rim_torque_low"]), tuple(swept["rim_torque_high"])
    )
    tight = Curve("holding pressure", "bar", tuple(steps), tuple(hold))
    at, across = v["interference"], "interference, mm"
    told = (
        f"<p>At {at:g} mm the edge holds {figure(now['holding_pressure'] / BAR)} bar and costs {figure(now['rim_torque'])} N m "
        f"({figure(now['rim_torque_low'])} … {figure(now['rim_torque_high'])}) to leave the seat.</p>"
    )
    return (
        told
        + chart("Rim torque", "N m", (torque,), (Point("here", at, now["rim_torque"]),), at, across)
        + chart("Holding pressure", "bar", (tight,), (), at, across)
    )


def swing(v: Values) -> str:
    """The disc that swings out of the body into the pipe."""
    sizes = {"disc_diameter": v["disc"] / 1e3, "face_to_face": v["length"] / 1e3, "edge_thickness": v["edge"] / 1e3}
    found = run("bore-clearance", {**sizes, "pipe_bore": v["bore"] / 1e3})
    chord = run("disc-swing", sizes)["chord"]
    told = (
        f"<p>The disc needs {figure(chord * 1e3, 4)} mm at the flange face; the pipe leaves {figure(v['bore'], 4)} mm: "
        f"<b>{text(found['verdict'])}</b>, gap {figure(found['gap'] * 1e3)} mm a side. Turn it and look where it comes nearest.</p>"
    )
    return told + _section(v)


def _section(v: Values) -> str:
    """Pipe, body and disc to one scale, seen along the shaft."""
    scale = 300 / max(v["disc"], v["bore"]) / 1.25
    a, mid, up = math.radians(v["opening"]), 260.0, 170.0
    half, bore, length = v["disc"] / 2 * scale, v["bore"] / 2 * scale, v["length"] / 2 * scale
    dx, dy = half * math.sin(a), half * math.cos(a)
    pipes = "".join(
        f'<line x1="{x0:.1f}" x2="{x1:.1f}" y1="{up + s * bore:.1f}" y2="{up + s * bore:.1f}" stroke="currentColor" stroke-width="2"/>'
        for s in (-1, 1)
        for x0, x1 in ((10, mid - length), (mid + length, 510))
    )
    faces = "".join(
        f'<line x1="{x:.1f}" x2="{x:.1f}" y1="{up - half - 16:.1f}" y2="{up + half + 16:.1f}" stroke="currentColor"/>'
        for x in (mid - length, mid + length)
    )
    body = "".join(
        f'<rect class="shade" x="{mid - length:.1f}" y="{y:.1f}" width="{2 * length:.1f}" height="14"/>'
        for y in (up - half - 15, up + half + 1)
    )
    circle = f'<circle cx="{mid}" cy="{up}" r="{half:.1f}" fill="none" stroke="currentColor" stroke-dasharray="3 4"/>'
    disc = f'<line x1="{mid - dx:.1f}" y1="{up - dy:.1f}" x2="{mid + dx:.1f}" y2="{up + dy:.1f}" stroke="currentColor" stroke-width="{max(3.0, v["edge"] * scale):.1f}"/>'
    return f'<svg viewBox="0 0 520 340" role="img" aria-label="disc at {v["opening"]:g} degrees in its pipe">{body}{faces}{pipes}{circle}{disc}</svg>'


def throttling(v: Values) -> str:
    """What is left of control in the line, and when the water boils behind the disc."""
    openings = [5.0 * k for k in range(1, 19)]
    flow = run("installed-flow", {"opening": openings, "authority": v["authority"], "shape": "isa"})
    curve = Curve("flow over full flow", "-", tuple(openings), tuple(flow["flow_fraction"]))
    alone = Curve(
        "with all the drop on the valve",
        "-",
        tuple(openings),
        tuple(run("installed-flow", {"opening": openings, "authority": 1.0, "shape": "isa"})["flow_fraction"]),
    )
    at = run("butterfly-kv", {"bore": 0.2, "opening": v["opening"]})
    pv = run("saturation", {"medium": "water", "temperature": v["t"] + 273.15})["pressure"]
    p1, p2 = (v["p1"] + 1.01325) * BAR, (v["p2"] + 1.01325) * BAR
    choked = run("liquid-choking-pressure", {"p1": p1, "pv": pv, "pc": 220.64 * BAR, "fl": at["fl"]})["p2"]
    told = f"<p>DN200 at {v['opening']:g}°: Kv {figure(at['kv'])} m³/h, FL {figure(at['fl'])}. "
    if p2 >= p1:
        told += "The pressure behind is not below the one before: nothing flows.</p>"
    else:
        state = run("cavitation-regime", {"p1": p1, "p2": p2, "pv": pv, "kv": at["kv"], "fl": at["fl"], "fd": at["fd"]})["regime"]
        sigma = run("cavitation-index", {"p1": p1, "p2": p2, "pv": pv})["sigma"]
        told += f"Cavitation index {figure(sigma)}: <b>{text(state)}</b>. It chokes when the pressure behind falls to {figure(choked / BAR - 1.01325)} bar(g).</p>"
    return told + chart("Flow in this line", "of full flow", (curve, alone), (), v["opening"])


def surge(v: Values) -> str:
    """Closing fast: the head at the valve."""
    line = {"length": v["length"], "bore": 0.3, "friction_factor": 0.018, "wave_speed": v["wave"], "reservoir_head": 60.0, "closing_time": v["time"],
            "flow": v["speed"] * math.pi / 4 * 0.3**2, "valve_head": 1.0, "law": "linear", "reaches": 20}  # fmt: skip
    found = run("closure-surge", line)
    history = [(float(t), float(h)) for t, h in found["history"]]
    curve = Curve("head at the valve", "m", tuple(t for t, _ in history), tuple(h for _, h in history))
    told = (
        f"<p>The wave needs {figure(found['critical_time'])} s there and back; closed in {v['time']:g} s the head rises to "
        f"{figure(found['peak_head'])} m and falls to {figure(found['lowest_head'])} m. Closed at once it would rise by {figure(found['joukowsky_head'])} m.</p>"
    )
    return (
        told
        + chart("Head at the valve, DN300", "m", (curve,), (), None, "time, s")
        + "".join(f"<p class='small'>{text(n)}</p>" for n in found["notes"])
    )


def least(v: Values) -> str:
    """A chain of ratings: the weakest link is the valve's."""
    parts = ("shell", "seat", "shaft", "dead_end")
    found = run("valve-rating", {k: v[k] * BAR for k in parts})
    bars = ""
    for n, key in enumerate(parts):
        y, mark = 26 + 40 * n, key.replace("_", " ") == found["limited_by"].replace("_", " ")
        fill = "currentColor" if mark else "none"
        bars += (
            f'<text x="0" y="{y + 15}" font-size="13">{text(key.replace("_", " "))}</text><rect x="90" y="{y}" width="{v[key] * 15:.0f}" height="20" fill="{fill}" stroke="currentColor"/>'
            f'<text x="{98 + v[key] * 15:.0f}" y="{y + 15}" font-size="13">{v[key]:g} bar{" – the least" if mark else ""}</text>'
        )
    told = f"<p>The valve may bear <b>{figure(found['pressure'] / BAR)} bar</b>: {text(found['limited_by'])} limits it, whatever is cast on the body.</p>"
    return f'{told}<svg viewBox="0 0 520 200" role="img" aria-label="ratings of the parts">{bars}</svg>'


MODELS = (
    Model("interference", "How tight, and at what torque?", "The disc is a little larger than the bore of its liner. More squeeze holds more pressure, and costs torque at every closing.",
          (Knob("interference", "interference, mm", 0.1, 1.2, 0.05, 0.6), Knob("hardness", "hardness, Shore A", 55, 85, 1, 70), Knob("disc", "disc, mm", 50, 600, 10, 300),
           Knob("friction", "friction", 0.1, 1.0, 0.05, 0.4), Knob("least", "curve from, mm", 0.05, 0.3, 0.05, 0.1)), interference, ("seat-contact",)),
    Model("swing", "Will the disc strike the pipe?", "Half open the disc stands out of both faces. A thick or lined pipe stops it: the commonest mistake of a wafer valve.",
          (Knob("opening", "opening, °", 0, 90, 1, 45), Knob("disc", "disc, mm", 50, 600, 1, 200), Knob("length", "face-to-face, mm", 30, 180, 1, 60),
           Knob("bore", "pipe bore, mm", 40, 620, 1, 203), Knob("edge", "edge thickness, mm", 2, 60, 1, 12)), swing, ("disc-swing", "bore-clearance")),
    Model("throttling", "Where does it still control?", "The more the line eats of the pressure, the sooner the valve is as good as open; and behind a nearly closed disc water boils.",
          (Knob("opening", "opening, °", 10, 85, 1, 40), Knob("authority", "share of the drop on the open valve", 0.02, 1.0, 0.01, 0.1), Knob("p1", "before, bar(g)", 0.5, 16, 0.1, 6),
           Knob("p2", "behind, bar(g)", 0, 15.5, 0.1, 4), Knob("t", "water, °C", 5, 95, 1, 20)),
          throttling, ("installed-flow", "butterfly-kv", "cavitation-regime", "liquid-choking-pressure")),
    Model("surge", "How fast may it close?", "A closing valve stops a moving column. Slower than the wave's way there and back is not enough by itself: look at the head.",
          (Knob("time", "closing time, s", 0.2, 60, 0.2, 4), Knob("length", "line, m", 50, 3000, 50, 600), Knob("speed", "velocity, m/s", 0.3, 4, 0.1, 2),
           Knob("wave", "wave speed, m/s", 300, 1400, 50, 1100)), surge, ("closure-surge",)),
    Model("least", "Which part is the weakest?", "A valve bears no more than the least of its parts: shell, seat, shaft, and at the end of a line the dead-end rating.",
          (Knob("shell", "shell, bar", 2, 25, 0.5, 16), Knob("seat", "seat, bar", 2, 25, 0.5, 10), Knob("shaft", "shaft, bar", 2, 25, 0.5, 12), Knob("dead_end", "dead end, bar", 2, 25, 0.5, 8)),
          least, ("valve-rating",)),
)  # fmt: skip
