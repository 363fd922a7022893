"""Parts of the item page as HTML: findings, the ladder of builds, the duty, the disc as it stands."""

import math
from collections.abc import Callable

from softseat.desk.chart import Point, between, chart
from softseat.desk.marks import text
from softseat.papers.figures import figure, sentence
from softseat.papers.texts import label, unit
from softseat.selection.choice import AS_WELL
from softseat.selection.item import Curve, Finding, Item, Rung

FULL = 2.0  # of a margin bar: twice what is needed
SIZE = 150.0
ACROSS = {"time": "time, s", "way": "way along the line, m"}
INK = 'stroke="currentColor"'


def findings(item: Item) -> str:
    """Every finding with its remedy and source; the heaviest first."""
    return "".join(_finding(f) for f in item.findings) or "<p class='soft'>Nothing stands against it.</p>"


def _finding(f: Finding) -> str:
    on = "" if f.applies_to == "both" else f"<br><span class='soft small'>as {f.applies_to}</span>"
    lead = "Remedy: " if f.rule.startswith("R") else ""
    remedy = f"<p class='small'>{lead}{text(f.remedy)}</p>" if f.remedy else ""
    rule = f'<a href="/rulebook#{text(f.rule)}">{text(f.rule)}</a>' if f.rule.startswith("R") else text(f.rule)
    return (
        f'<div class="finding"><div><span class="sev">{f.severity}</span>{on}</div>'
        f'<div>{text(f.text)}{remedy}<p class="small soft">{rule}; {text(f.source)}</p></div></div>'
    )


def ladder(item: Item) -> str:
    """What was weighed, part by part: the one chosen with its margin as a bar, those refused with why, the others in one line."""
    parts: dict[str, list[Rung]] = {}
    for rung in item.ladder:
        parts.setdefault(rung.build.partition(":")[0], []).append(rung)
    lines = []
    for part, rungs in parts.items():
        lines.append(f'<li><span class="peg"></span><span class="part">{text(part)}</span></li>')
        lines += [_rung(r) for r in rungs if r.chosen or r.why_not != AS_WELL]
        others = ", ".join(text(r.text) for r in rungs if not r.chosen and r.why_not == AS_WELL)
        if others:
            said = f'<span class="others small soft">would do as well: {others}</span>'
            lines.append(f'<li><span class="peg" aria-hidden="true">○</span>{said}</li>')
    return f'<ul class="ladder">{"".join(lines)}</ul>'


def _rung(rung: Rung) -> str:
    bars = "".join(_margin(name, value) for name, value in rung.margins.items())
    said = bars if rung.chosen else text(rung.why_not)
    peg, kind, word = ("●", "chosen", "<span class='small'> chosen</span>") if rung.chosen else ("✕", "", "")
    name = f'<span class="peg" aria-hidden="true">{peg}</span><span>{text(rung.text)}{word}</span>'
    return f'<li class="{kind}">{name}<span class="small">{said}</span></li>'


def _margin(name: str, value: float) -> str:
    """One is just enough: the stroke in the middle."""
    share = min(max(value / FULL, 0.0), 1.0) * 100
    bar = f'<i style="width:{share:.0f}%"></i><b style="left:{100 / FULL:.0f}%"></b>'
    return f'<span class="margin" role="img" aria-label="{text(name)} {value:g}">{bar}</span>{text(name)} {value:g}'


def duty_table(item: Item, how: Callable[[Item, str], str]) -> str:
    """The duty as read, each with its cell or its reason."""
    lines = [
        f"<tr><th scope='row'>{text(label(k))}</th><td class='n'>{text(sentence(v))}</td>"
        f"<td class='small soft'>{text(how(item, k))}</td></tr>"
        for k, v in item.duty.items()
    ]
    return f'<table class="facts">{"".join(lines)}</table>'


def turned(item: Item, opening: float) -> str:
    """The disc at this opening, and the curves with the opening marked."""
    turning = [c for c in item.curves if c.along == "opening"]
    kv = [c for c in turning if c.unit == "m3/h"]
    torque = [c for c in turning if c.unit == "N m"]
    told = [f"{text(c.name)} {figure(v)} {unit(c.unit)}" for c in turning if math.isfinite(v := between(c, opening))]
    spots = []
    for p in item.points:
        opened, need = p.get("opening"), p.get("kv_needed")
        if opened is not None and need is not None and opened.value is not None and need.value is not None:
            spots.append(Point(str(p["point"]), opened.value, need.value))
    words = f'<p class="figures">{opening:g}° open<br>{"<br>".join(told)}</p>'
    drawn = f'<div style="display:flex;gap:1.4rem;align-items:center">{_disc(opening)}{words}</div>'
    return drawn + chart("Kv", unit("m3/h"), kv, spots, opening) + chart("Torque", unit("N m"), torque, (), opening)


def runs(item: Item) -> str:
    """Curves over time and over the line: what closing does to the pressure."""
    groups: dict[tuple[str, str], list[Curve]] = {}
    for c in item.curves:
        if c.along != "opening":
            groups.setdefault((c.along, c.unit), []).append(c)
    drawn = "".join(chart(_title(cs), unit(u), cs, across=ACROSS.get(along, along)) for (along, u), cs in groups.items())
    return f"<h2>Closing</h2><div class='chart'>{drawn}</div>" if drawn else ""


def _title(curves: list[Curve]) -> str:
    first = curves[0].name
    return first[:1].upper() + first[1:] if len(curves) == 1 else "Pressure" if "pressure" in first else first


def _disc(opening: float) -> str:
    """Seen along the shaft: liner above and below, the flow from the left, the disc in between."""
    half, a = SIZE / 2, math.radians(opening)
    dx, dy = 52 * math.sin(a), 52 * math.cos(a)
    walls = "".join(
        f'<rect x="{half - 26}" y="{y}" width="52" height="9" fill="currentColor" opacity=".35"/>' for y in (half - 64, half + 55)
    )
    pipe = "".join(f'<line x1="0" x2="{SIZE}" y1="{y}" y2="{y}" {INK}/>' for y in (half - 55, half + 55))
    ends = f'x1="{half - dx:.1f}" y1="{half - dy:.1f}" x2="{half + dx:.1f}" y2="{half + dy:.1f}"'
    disc = f'<line {ends} {INK} stroke-width="7" stroke-linecap="round"/>'
    flow = f'<path d="M6 {half} h22 m-6 -5 l6 5 l-6 5" fill="none" {INK} stroke-width="1.5"/>'
    shaft = f'<circle cx="{half}" cy="{half}" r="8" fill="var(--paper)" {INK} stroke-width="2"/>'
    size = f'viewBox="0 0 {SIZE:g} {SIZE:g}" style="width:9.5rem;flex:none"'
    return f'<svg {size} role="img" aria-label="disc at {opening:g} degrees">{pipe}{walls}{flow}{disc}{shaft}</svg>'
