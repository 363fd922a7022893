"""General arrangement of one build: one list of marks, printed as SVG and as DXF."""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from softseat.papers import drawing_dxf, drawing_svg
from softseat.papers.drawing_face import extent, face
from softseat.papers.drawing_frame import TABLE_WIDTH, columns, dimension_table, paragraph, parts, table_rows
from softseat.papers.drawing_marks import Mark, Text
from softseat.papers.drawing_mass import mass_mark
from softseat.papers.drawing_measures import Measures, drawable, mass_of, measures
from softseat.papers.drawing_operator import depth
from softseat.papers.drawing_section import half_width, right_side, section
from softseat.papers.drawing_shapes import moved, rectangle
from softseat.papers.drawing_title import Plate, title_block, title_height
from softseat.papers.texts import clean, word
from softseat.selection.item import Item

# ISO 5455, and between its steps those that offices use beside it
SCALES = (1, 2, 2.5, 4, 5, 8, 10, 15, 20, 25, 30, 40, 50, 75, 100)
LEFT, BETWEEN, ASIDE = 10.0, 12.0, 12.0  # room for dimension lines beside and between the views [mm]
ABOVE, BELOW = 18.0, 23.0
TALLEST = 0.86  # of the width, where no height is given
NARROW = 240.0  # below this only what must be said stands beside the table
UNKNOWN = "No view: neither the disc diameter nor the bore is held for this build."
NOTED = {"operator": "operator:", "top_flange": "top flange", "retention": "shaft held by:"}
SHEET = (277.0, 190.0)  # the drawing space of A4 across


@dataclass(frozen=True, slots=True)
class Arrangement:
    """Marks on paper [mm] and how many times smaller than the valve they are."""

    marks: tuple[Mark, ...]
    reduction: float
    width: float
    height: float
    title: str


def arrangement_svg(
    item: Item,
    width_mm: float = 180.0,
    height_mm: float | None = None,
    *,
    maker: Mapping[str, str] | None = None,
    tags: Sequence[str] | None = None,
    quantity: int | None = None,
) -> str:
    """The general arrangement as an SVG picture, in black, lettering no smaller than 2.5 mm at this width."""
    limit = height_mm or max(SHEET[1] / SHEET[0] * width_mm, TALLEST * min(width_mm, 200.0))
    plan = arrangement(item, width_mm, limit, maker=maker, tags=tags, quantity=quantity, fixed=height_mm is not None)
    return drawing_svg.svg(plan.marks, plan.width, plan.height, plan.title)


def arrangement_dxf(
    item: Item,
    *,
    maker: Mapping[str, str] | None = None,
    tags: Sequence[str] | None = None,
    quantity: int | None = None,
) -> bytes:
    """The general arrangement as a DXF file: the valve in true millimetres, the sheet round it enlarged for A4."""
    plan = arrangement(item, *SHEET, maker=maker, tags=tags, quantity=quantity)
    return drawing_dxf.dxf(plan.marks, plan.reduction, plan.width, plan.height)


def arrangement(
    item: Item,
    width: float,
    height: float,
    *,
    maker: Mapping[str, str] | None = None,
    tags: Sequence[str] | None = None,
    quantity: int | None = None,
    fixed: bool = True,
) -> Arrangement:
    """Views, table and title block on a sheet of this size [mm], at the largest scale that fits; not ``fixed``, no higher than needed."""
    names = tuple(tags) if tags is not None else (item.tags or (item.tag,))
    title = f"General arrangement {clean((item.choice or {}).get('build') or item.tag)}".strip()
    views, reduction, height = _views(item, width, height, fixed)
    plate = Plate(
        names,
        item.quantity if quantity is None else quantity,
        maker,
        f"scale 1:{reduction:g}" if reduction else "no view",
    )
    marks = [rectangle(0.25, 0.25, width - 0.25, height - 0.25, "frame"), *title_block(item, plate, width), *views]
    return Arrangement(tuple(marks), reduction or 1.0, width, height, title)


def _views(item: Item, width: float, limit: float, fixed: bool) -> tuple[list[Mark], float, float]:
    """The views with their table beside or under them, whichever leaves the larger scale, the reduction, and the height used."""
    foot = title_height(width)
    if not drawable(item):
        told, deep = paragraph([UNKNOWN], width - 10)
        table, _, low = dimension_table(table_rows(item))
        return (
            [*moved(told, 5.0, foot + low + deep + 6), *moved(table, 5.0, foot + low + 3)],
            0.0,
            limit if fixed else foot + deep + low + 9,
        )
    plans = [_beside(item, width, limit, foot, fixed), _under(item, width, limit, foot, fixed)]
    reduction, height, place = min(plans, key=lambda plan: plan[0])
    return place(), reduction, height


Plan = tuple[float, float, Callable[[], list[Mark]]]  # reduction, height, and the marks once they are wanted


def _beside(item: Item, width: float, limit: float, foot: float, fixed: bool) -> Plan:
    """Table at the right; the notes under it where they fit, else under the views."""
    table, wide, deep = dimension_table(table_rows(item))
    room = width - wide - 4
    notes = _notes(item, width)
    told, lines = paragraph(notes, wide)
    low = 0.0
    if foot + deep + lines + 7 > limit:
        told, low = columns(notes, room - 6)
        lines = 0.0
    reduction = _reduction(item, room, limit - foot - low)
    height = limit if fixed else min(limit, foot + max(_needed(item, reduction)[1] + low, deep + lines + 7))
    if deep + 4 > height - foot:
        return math.inf, height, list
    side = [*moved(table, room + 1, height - 3), *moved(told, *((3.0, foot + low + 1) if low else (room + 1, height - 5 - deep)))]
    return reduction, height, lambda: [*_placed(item, reduction, room, height - foot - low, foot + low), *side]


def _under(item: Item, width: float, limit: float, foot: float, fixed: bool) -> Plan:
    table, wide, deep = dimension_table(table_rows(item), max(int((width - 6) // TABLE_WIDTH), 1))
    told, lines = columns(_notes(item, width), width - 6)
    low = foot + deep + lines + 3
    reduction = _reduction(item, width, limit - low)
    height = limit if fixed else min(limit, low + _needed(item, reduction)[1])
    below = [*moved(told, 3.0, foot + lines + 0.5), *moved(table, (width - wide) / 2, foot + lines + deep + 2)]
    return reduction, height, lambda: [*_placed(item, reduction, width, height - low, low), *below]


def _needed(item: Item, reduction: float) -> tuple[float, float]:
    """Room that both views take with their dimension lines [mm]."""
    m = measures(item, 1 / reduction)
    wide = LEFT - extent(m)[0] + _apart(m) + right_side(m)
    return wide, ABOVE + m.top + m.crest + max(m.foot, m.outer) + BELOW


def _apart(m: Measures) -> float:
    """From axis to axis: the rings need it below, a long operator above the top flange."""
    return max(m.outer + BETWEEN + half_width(m), extent(m)[1] + ASIDE + max(m.plate, depth(m)))


def _reduction(item: Item, width: float, height: float) -> float:
    """How many times smaller the views must be to find room."""
    for reduction in SCALES:
        wide, high = _needed(item, reduction)
        if wide <= width and high <= height:
            return float(reduction)
    return float(SCALES[-1])


def _placed(item: Item, reduction: float, width: float, height: float, foot: float) -> list[Mark]:
    """Both views in this room, above the foot, with what is left over spread evenly."""
    m = measures(item, 1 / reduction)
    left, apart = extent(m)[0], _apart(m)
    spare = max(width - (LEFT - left + apart + right_side(m)), 0.0) / 3
    low = max(m.foot, m.outer)
    slack = max(height - (ABOVE + m.top + m.crest + low + BELOW), 0.0) / 2
    y = foot + BELOW + low + slack
    x = LEFT + spare - left
    across = x + apart + spare
    lifting = str((item.choice or {}).get("lifting") or "")
    return [
        *moved(face(m, lifting), x, y),
        *moved([*section(m), *mass_mark(item, m, reduction)], across, y),
        Text((across, y + m.top + m.crest + 5), "A-A", 3.5, "middle"),
    ]


def _notes(item: Item, width: float) -> list[str]:
    m, choice = measures(item), item.choice or {}
    notes = []
    if m.by_eye and drawable(item):
        notes.append(f"No figure held, drawn in proportion only: {', '.join(m.by_eye)}.")
    if width >= NARROW:
        notes += parts(item)
        notes += [f"{label} {word(choice[key])}" for key, label in NOTED.items() if choice.get(key)]
    if mass_of(item) and "centre_of_mass" not in item.dimensions:
        notes.append("Quartered circle: centre of mass, estimated.")
    if width < NARROW and choice.get("lifting") in ("eye", "hole"):
        notes.append(f"Ring at the neck: lifting {choice['lifting']}.")
    return [*notes, "Double-dotted: other parts, disc open."]
