"""One card a build for those who fit it: lift, insert, bolt, never, store."""

import math
from collections.abc import Mapping, Sequence
from typing import Any

from softseat.papers.figures import as_number, figure, known, sentence
from softseat.papers.findings import of_offer
from softseat.papers.frame import Frame
from softseat.papers.groups import builds, pieces, tags_of
from softseat.papers.offer import in_words
from softseat.papers.texts import catalogue, clean, text, texts, titled
from softseat.selection.item import Item

MOST = 60  # bolts in a ring that can still be drawn with their numbers


def fitting_cards(frame: Frame, items: Sequence[Item]) -> dict[str, Any]:
    """A card for each build that is offered."""
    return frame.around("fitting-cards", cards=[card(build, group) for build, group in builds(items)])


def card(build: str, group: Sequence[Item]) -> dict[str, Any]:
    """What one card prints; all its items have the same build."""
    first, choice = group[0], group[0].choice or {}
    heads, rows = bolting(first.bolting)
    holes = as_number(first.dimensions.get("holes"))
    number = int(holes.value) if holes and known(holes.value) and holes.value else 0
    return {
        "build": build,
        "what": in_words(first),
        "tags": tags_of(group),
        "pieces": pieces(group),
        "lift": [_mass(choice.get("mass")), text("card.lift.sling")],
        "insert": texts("card.insert."),
        "bolt": texts("card.bolt."),
        "never": texts("card.never."),
        "first": texts("card.first."),
        "store": [*texts("card.store.")[:3], _period(clean(choice.get("liner")))],
        "also": list(dict.fromkeys(f"{f.text or f.reason} {f.remedy}".strip() for i in group for f in of_offer(i, "care"))),
        "heads": heads,
        "rows": rows,
        "torque": any("torque" in k and v for row in first.bolting for k, v in row.items()),
        "holes": number,
        "order": {"svg": ring(number)},
        "figure": text("fitting-cards.figure.order", holes=number) if ring(number) else "",
    }


def _mass(mass: Any) -> str:
    return text("card.lift.mass", mass=f"{figure(mass)} kg") if known(mass) else text("card.lift.nomass")


def _period(liner: str) -> str:
    told = catalogue().get(f"storage.{liner}")
    if not told:
        return text("card.store.noperiod")
    group, first, more = told.split()
    return text("card.store.period", liner=liner, group=group, first=first, more=more)


def bolting(lines: Sequence[Mapping[str, Any]]) -> tuple[list[str], list[list[str]]]:
    """The bolting list as a table: whatever columns the lines have."""
    keys = list(dict.fromkeys(k for row in lines for k, v in row.items() if v not in (None, "")))
    return [_head(k) for k in keys], [[sentence(row[k]) if row.get(k) not in (None, "") else "" for k in keys] for row in lines]


def _head(key: str) -> str:
    return catalogue().get(f"bolting.{key}") or titled(key)


def tightening(holes: int) -> list[int]:
    """The order in which bolts 1 to n, counted round the ring, are tightened crosswise (pattern of ASME PCC-1, from memory)."""
    if holes < 4 or holes % 4:
        return list(range(1, holes + 1))
    quarter = holes // 4
    starts = [*range(1, quarter + 1, 2), *range(2, quarter + 1, 2)] if quarter > 3 else range(1, quarter + 1)
    return [s + turn * quarter for s in starts for turn in (0, 2, 1, 3)]


def ring(holes: int) -> str:
    """The bolt ring with the turn of each bolt, holes astride the centre lines; empty where the number is not known."""
    if not 4 <= holes <= MOST:
        return ""
    turn = {bolt: n for n, bolt in enumerate(tightening(holes), start=1)}
    size, radius = 150.0, 56.0
    hole = min(9.0, 2.2 * radius / holes * 1.2)
    parts = [_circle(size / 2, size / 2, radius, "none"), _circle(size / 2, size / 2, 34, "none")]
    for bolt in range(1, holes + 1):
        angle = math.radians(360 * (bolt - 0.5) / holes)
        x, y = size / 2 + radius * math.sin(angle), size / 2 - radius * math.cos(angle)
        parts.append(_circle(x, y, hole, "#ffffff"))
        parts.append(
            f"<text x='{x:.2f}' y='{y + hole * 0.36:.2f}' text-anchor='middle' font-family='Libertinus Serif' "
            f"font-size='{hole * 1.1:.1f}' fill='#1a1a1a'>{turn[bolt]}</text>"
        )
    return f"<svg xmlns='http://www.w3.org/2000/svg' width='150pt' height='150pt' viewBox='0 0 150 150'>{''.join(parts)}</svg>"


def _circle(x: float, y: float, radius: float, fill: str) -> str:
    return f"<circle cx='{x:.2f}' cy='{y:.2f}' r='{radius:.2f}' fill='{fill}' stroke='#1a1a1a' stroke-width='0.6'/>"
