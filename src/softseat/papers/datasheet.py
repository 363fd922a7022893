"""One sheet an item: the drawing at its head, then what was decided, on which numbers, and what stands behind them."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from softseat.papers.drawing import arrangement_svg
from softseat.papers.figures import NONE, aligned, as_number, band, banded, figure, heading, known, sentence
from softseat.papers.findings import line, of_asked, of_offer, told
from softseat.papers.frame import Frame
from softseat.papers.groups import build_of, duty_of, offered, tag_of
from softseat.papers.ladder import ladder
from softseat.papers.lettering import opened, reasoned, valued
from softseat.papers.plot import Plot, Spot
from softseat.papers.testplan import UNTOLD, test_name
from softseat.papers.texts import clean, short, some, text, titled, word
from softseat.selection.item import Item, Number

WIDTH = 170.0  # mm: the drawing keeps its scale at this width
# a halo round letters turns each into an outline on its way to PDF: six times the bytes, twice the time
HALO = re.compile(r' stroke="#fff" stroke-width="[^"]*" stroke-linejoin="round" paint-order="stroke"')


def datasheets(frame: Frame, items: Sequence[Item]) -> dict[str, Any]:
    """A book of sheets, in the order of the enquiry."""
    return frame.around("datasheets", sheets=[sheet(i, frame.maker) for i in offered(items)])


def sheet(item: Item, maker: Mapping[str, str]) -> dict[str, Any]:
    """What one datasheet prints."""
    choice = item.choice or {}
    return {
        "tag": tag_of(item),
        "head": short(tag_of(item), 40),
        "item": f"{text('datasheets.item', n=item.n)} · {some(item.quantity, 'piece')}",
        "tags": [clean(t) for t in item.tags] if len(item.tags) > 1 else [],
        "about": duty_of(item),
        "build": build_of(item),
        "verdict": item.offered,
        "asked": item.as_asked,
        "sentence": item.sentence,
        "drawing": {"svg": HALO.sub("", arrangement_svg(item, width_mm=WIDTH, maker=maker))},
        "duty": [[titled(k), sentence(v)] for k, v in item.duty.items() if sentence(v) != NONE],
        "choice": [[titled(k), _part(k, v)] for k, v in choice.items() if v not in (None, "") and k != "build"],
        "numbers": numbers(item.numbers),
        "points": points(item.points),
        "plots": [{"svg": p} for p in plots(item)],
        "surge": clean(item.surge),
        "flips": [clean(f) for f in item.flips],
        "ladder": ladder(item.ladder),
        "tests": [[test_name(k), sentence(v)] for k, v in item.tests.items() if k not in UNTOLD and sentence(v) != NONE] + _sure(item),
        "findings": [line(f) for f in of_offer(item, "stop", "query", "condition", "advice")],
        "because": [line(f) for f in of_asked(item)],
        "deviations": [[titled(d.field), valued(d.asked), valued(d.offered), opened(d.why)] for d in item.deviations],
        "assumptions": [[titled(a.field), valued(a.value), reasoned(a.reason)] for a in told(item.assumptions)],
        "sources": _sources(item),
    }


def _sure(item: Item) -> list[list[str]]:
    """How sure the test figures are; why stands under the test plan."""
    sure = clean(item.tests.get("certainty"))
    return [[titled("certainty"), text("datasheets.tests.sure", sure=sure)]] if sure else []


def _part(key: str, value: Any) -> str:
    return f"{figure(value)} kg" if key == "mass" and known(value) else sentence(value)


def _sources(item: Item) -> list[str]:
    """Where the figures come from; what stands beside a finding is not said again."""
    beside = {clean(f.source) for f in (*of_offer(item), *of_asked(item))}
    told = [*item.sources, *(str(s.get("source", "")) for s in item.steps)]
    return [s for s in dict.fromkeys(map(clean, told)) if s and s not in beside]


def numbers(held: Mapping[str, Number]) -> dict[str, Any]:
    """Rows with their band, each of the three columns aligned on the decimal; a column that is empty throughout is left out."""
    kept = {k: n for k, n in ((k, as_number(v)) for k, v in held.items()) if n and (known(n.value) or banded(n))}
    columns = [
        aligned([figure(n.low) if banded(n) else "" for n in kept.values()]),
        aligned([figure(n.value) for n in kept.values()]),
        aligned([figure(n.high) if banded(n) else "" for n in kept.values()]),
    ]
    rows = [
        {"what": heading(k, n.unit), "at": word(n.at), "figures": [c[row] for c in columns], "basis": word(n.basis)}
        for row, (k, n) in enumerate(kept.items())
    ]
    return {"rows": rows, "banded": any(banded(n) for n in kept.values())}


def points(held: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
    """Operating points in rows, their quantities in columns with the unit at the head and the band under the figure."""
    keys = list(dict.fromkeys(k for p in held for k, v in p.items() if as_number(v)))
    cells: dict[str, list[Number | None]] = {k: [as_number(p.get(k)) for p in held] for k in keys}
    units = {k: next((n.unit for n in column if n and n.unit), "") for k, column in cells.items()}
    shown = {k: aligned([figure(n.value) if n else "" for n in column]) for k, column in cells.items()}
    rows = [
        [[*shown[k][row], band(n) if (n := cells[k][row]) else ""] for k in keys if any(c and (known(c.value)) for c in cells[k])]
        for row in range(len(held))
    ]
    kept = [k for k in keys if any(c and known(c.value) for c in cells[k])]
    names = [word(p.get("point")) or str(n) for n, p in enumerate(held, start=1)]
    return {"heads": [heading(k, units[k]) for k in kept], "names": names, "rows": rows}


def plots(item: Item) -> list[str]:
    """Kv with the operating points, torque required against the operator's; only what the item has curves for."""
    over_opening = [c for c in item.curves if c.along == "opening"]
    kv = [c for c in over_opening if c.name.lower().startswith("kv")]
    torque = [c for c in over_opening if "torque" in c.name.lower() or "operator" in c.name.lower()]
    way = [c for c in item.curves if c.along == "way"]
    over_time = [c for c in item.curves if c.along == "time"]
    drawn = [
        Plot(text("plot.kv"), [_named(c) for c in kv], _spots(item)).svg(),
        Plot(text("plot.torque"), [_named(c) for c in torque]).svg(),
    ]
    drawn += [Plot(titled(c.name), [_named(c)]).svg() for c in (*over_opening, *over_time) if c not in kv and c not in torque]
    drawn += [Plot(text("plot.envelope"), [_named(c) for c in way]).svg()] if way else []
    return [d for d in drawn if d]


def _named(curve: Any) -> Any:
    return replace(curve, name=word(curve.name))


def _spots(item: Item) -> list[Spot]:
    spots = []
    for n, point in enumerate(item.points, start=1):
        opening, kv = as_number(point.get("opening")), as_number(point.get("kv_needed"))
        if opening and kv and known(opening.value) and known(kv.value) and opening.value is not None and kv.value is not None:
            spots.append(Spot(word(point.get("point")) or str(n), opening.value, kv.value, opening.low, opening.high))
    return spots
