"""The centre of mass with its sign: at the maker's figure, else estimated from the outlines and said to be so."""

import math

from softseat.papers.drawing_lettering import figure
from softseat.papers.drawing_marks import Arc, Hatch, Mark
from softseat.papers.drawing_measures import Measures, mass_of
from softseat.papers.drawing_shapes import leader
from softseat.selection.item import Item


def mass_mark(item: Item, m: Measures, reduction: float) -> list[Mark]:
    """A quartered circle on the shaft axis in the section; nothing where the mass is not held."""
    mass = mass_of(item)
    if not mass:
        return []
    number = item.dimensions.get("centre_of_mass")
    known = number.value if number is not None else None
    y = estimated(m) if known is None or not math.isfinite(known) else known / reduction
    edge = -max(m.length / 2 + m.flange_thickness, m.plate) - 3
    return [*_sign(y), *leader((-1.6, y), (edge, min(max(y, m.flange / 2, m.over / 2) + 5, m.top - 5)), f"{figure(mass)} kg")]


def estimated(m: Measures) -> float:
    """Height of the centre above the pipe axis [mm on paper], body and operator envelope each as dense as the other.

    The envelope of an operator is mostly air, so this lies high: the safe side for slinging.
    """
    ring = math.pi / 4 * (m.body**2 - m.bore**2) * m.length + math.pi / 4 * m.disc**2 * 2 * m.hub * 0.5
    neck = math.pi * m.neck**2 * max(m.top - m.body / 2, 0.0)
    operator = 0.25 * (2.0 * m.high if m.wheel else m.long) * m.high * 2 * m.plate
    total = ring + neck + operator
    return (neck * (m.top + m.body / 2) / 2 + operator * (m.top + m.high / 2)) / total if total else 0.0


def _sign(y: float, r: float = 1.6) -> list[Mark]:
    def quarter(start: int) -> Hatch:
        rim = [(r * math.cos(math.radians(a)), y + r * math.sin(math.radians(a))) for a in range(start, start + 91, 10)]
        return Hatch(((0.0, y), *rim))

    return [Arc((0.0, y), r, "thin"), quarter(0), quarter(180)]
