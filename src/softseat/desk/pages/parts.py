"""Parts of the item page as HTML: findings, the ladder of builds, the duty, the disc as it stands."""

import math
from collections.abc import Callable

from softseat.desk.chart import Point, between, chart
from softseat.desk.marks import text
from softseat.papers.figures import figure, sentence
from softseat.papers.texts import label, unit
from softseat.selection.item import Item, Rung

FULL = 2.0  # of a margin bar: twice what is needed
SIZE = 150.0


def findings(item: Item) -> str:
    """Every finding with its remedy and source; the heaviest first."""
    if not item.findings:
        return "<p class='soft'>Nothing stands against it.</p>"
    lines = []
    for f in item.findings:
        on = "" if f.applies_to == "both" else f"<br><span class='soft small'>as {f.applies_to}</span>"
        remedy = (
            f"<p class='small'>Remedy: {text(f.remedy)}</p>"
            if f.remedy and f.rule != "by hand"
            else f"<p class='small'>{text(f.remedy)}</p>"
            if f.remedy
            else ""
        )
        rule = f'<a href="/rulebook#{text(f.rule)}">{text(f.rule)}</a>' if f.rule.startswith("R") else text(f.rule)
        lines.append(
            f'<div class="finding"><div><span class="sev">{f.severity}</span>{on}</div>'
            f'<div>{text(f.text)}{remedy}<p class="small soft">{rule}; {text(f.source)}</p></div></div>'
        )
    return "".join(lines)


def ladder(item: Item) -> str:
    """What was weighed, rung by rung; the margin as a bar, and why another is not the one."""
    lines, part = [], ""
    for rung in item.ladder:
        kind = rung.build.partition(":")[0]
        if kind != part:
            part = kind
            lines.append(f'<li class="part-of"><span class="peg"></span><span class="part">{text(kind)}</span></li>')
        lines.append(_rung(rung))
    return f'<ul class="ladder">{"".join(lines)}</ul>'


def _rung(rung: Rung) -> str:
    bars = "".join(_margin(name, value) for name, value in rung.margins.items())
    said = f"<span class='small'>{bars}</span>" if rung.chosen else f"<span class='small'>{text(rung.why_not)}</span>"
    peg = "●" if rung.chosen else "○"
    word = "<span class='small'> chosen</span>" if rung.chosen else ""
    return f'<li class="{"chosen" if rung.chosen else ""}"><span class="peg" aria-hidden="true">{peg}</span><span>{text(rung.text)}{word}</span>{said}</li>'


def _margin(name: str, value: float) -> str:
    """One is just enough: the stroke in the middle."""
    share = min(max(value / FULL, 0.0), 1.0) * 100
    return f'<span class="margin" role="img" aria-label="{text(name)} {value:g}"><i style="width:{share:.0f}%"></i><b style="left:{100 / FULL:.0f}%"></b></span>{text(name)} {value:g}'


def duty_table(item: Item, how: Callable[[Item, str], str]) -> str:
    """The duty as read, each with its cell or its reason."""
    lines = [
        f"<tr><th scope='row'>{text(label(k))}</th><td class='n'>{text(sentence(v))}</td><td class='small soft'>{text(how(item, k))}</td></tr>"
        for k, v in item.duty.items()
    ]
    return f'<table class="facts">{"".join(lines)}</table>'


def turned(item: Item, opening: float) -> str:
    """The disc at this opening, and the curves with the opening marked."""
    kv = [c for c in item.curves if c.unit == "m3/h"]
    torque = [c for c in item.curves if c.unit == "N m"]
    told = [f"{text(c.name)} {figure(v)} {unit(c.unit)}" for c in item.curves if math.isfinite(v := between(c, opening))]
    spots = []
    for p in item.points:
        opened, need = p.get("opening"), p.get("kv_needed")
        if opened is not None and need is not None and opened.value is not None and need.value is not None:
            spots.append(Point(str(p["point"]), opened.value, need.value))
    drawn = f'<div style="display:flex;gap:1.4rem;align-items:center">{_disc(opening)}<p class="figures">{opening:g}° open<br>{"<br>".join(told)}</p></div>'
    return drawn + chart("Kv", unit("m3/h"), kv, spots, opening) + chart("Torque", unit("N m"), torque, (), opening)


def _disc(opening: float) -> str:
    """Seen along the shaft: liner above and below, the flow from the left, the disc in between."""
    half = SIZE / 2
    a = math.radians(opening)
    dx, dy = 52 * math.sin(a), 52 * math.cos(a)
    walls = "".join(
        f'<rect x="{half - 26}" y="{y}" width="52" height="9" fill="currentColor" opacity=".35"/>' for y in (half - 64, half + 55)
    )
    pipe = "".join(f'<line x1="0" x2="{SIZE}" y1="{y}" y2="{y}" stroke="currentColor" stroke-width="1"/>' for y in (half - 55, half + 55))
    disc = f'<line x1="{half - dx:.1f}" y1="{half - dy:.1f}" x2="{half + dx:.1f}" y2="{half + dy:.1f}" stroke="currentColor" stroke-width="7" stroke-linecap="round"/>'
    flow = f'<path d="M6 {half} h22 m-6 -5 l6 5 l-6 5" fill="none" stroke="currentColor" stroke-width="1.5"/>'
    shaft = f'<circle cx="{half}" cy="{half}" r="8" fill="var(--paper)" stroke="currentColor" stroke-width="2"/>'
    return f'<svg viewBox="0 0 {SIZE:g} {SIZE:g}" style="width:9.5rem;flex:none" role="img" aria-label="disc at {opening:g} degrees">{pipe}{walls}{flow}{disc}{shaft}</svg>'
