"""The title block: name, scale, build, tags, maker's data, caution, projection."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from softseat.papers.drawing_lettering import TEXT_HEIGHT, broken, figure, fitted, text_width
from softseat.papers.drawing_marks import Arc, Mark, Stroke, Text
from softseat.papers.drawing_measures import STYLES, mass_of, measures
from softseat.papers.texts import clean, text
from softseat.selection.item import Item

TITLE_ROW = 5.0  # [mm]
PROJECTION = "first-angle projection" + " " * 7  # and room for its sign


@dataclass(frozen=True, slots=True)
class Plate:
    """What the title block says."""

    tags: tuple[str, ...]
    quantity: int
    maker: Mapping[str, str] | None
    scale: str


def title_height(width: float) -> float:
    """Height of the title block on a sheet of this width [mm]."""
    return TITLE_ROW * (5 + len(_caution(width)))


def _caution(width: float) -> list[str]:
    """The caution in lines that leave room for the projection."""
    return broken(text("caution"), width - text_width(PROJECTION) - 7)


def maker_text(item: Item, maker: Mapping[str, str] | None, width: float) -> str:
    """The maker's data the drawing rests on; that they are invented is never cut away, however long their name."""
    told = maker or {}
    named = clean(told.get("title") or told.get("name"))
    invented = any(n.basis == "invented" for n in item.dimensions.values()) or (bool(told) and told.get("invented", "yes") != "no")
    warning = text("maker.invented") if invented else ""
    said = text("maker.rests.same", title=named) if named else "" if invented else "Maker's data: not named."
    if warning and warning.rstrip(".").casefold() in said.casefold() and text_width(said) <= width:
        return said
    return " ".join(part for part in (said and fitted(said, width - text_width(f" {warning}")), warning) if part)


def title_block(item: Item, plate: Plate, width: float) -> list[Mark]:
    """Rows along the foot of the sheet, the valve's name on top, the caution at the bottom."""
    choice = {k: clean(v) for k, v in (item.choice or {}).items() if v is not None}
    style = STYLES.get(measures(item).style, choice.get("body_style", ""))
    name = "Arrangement: rubber-lined concentric butterfly valve" + (f", {style}" if style else "")
    size = " ".join(choice[k] for k in ("size", "rating") if choice.get(k))
    mass = mass_of(item)
    *above, last = _caution(width)
    rows = [
        [(name, 1.0), (plate.scale, 0.0)],
        [(_told("build", choice.get("build", "")), 1.0), (size, 0.0)],
        [(_told("tags", _tags(plate.tags, width - 16)), 1.0)],
        [
            (_told("drilling", choice.get("drilling", "")), 1.0),
            (f"quantity {plate.quantity}", 0.0),
            (f"mass {figure(mass)} kg" if mass else "", 0.0),
        ],
        [(maker_text(item, plate.maker, width - 5), 1.0)],
        *([(line, 1.0)] for line in above),
        [(last, 1.0), (PROJECTION, 0.0)],
    ]
    return _grid(rows, width)


def _told(label: str, said: str) -> str:
    return f"{label} {said}" if said else ""


def _tags(tags: Sequence[str], width: float) -> str:
    """As many tags as fit, then how many more."""
    names = [clean(tag) or "(no tag)" for tag in tags]
    for shown in range(len(names), 0, -1):
        rest = f" and {len(names) - shown} more" if shown < len(names) else ""
        said = ", ".join(names[:shown]) + rest
        if text_width(said) <= width:
            return said
    return fitted(names[0], width - 25) + (f" and {len(names) - 1} more" if len(names) > 1 else "") if names else ""


def _grid(rows: list[list[tuple[str, float]]], width: float) -> list[Mark]:
    marks: list[Mark] = []
    top = TITLE_ROW * len(rows)
    marks.append(Stroke(((0.0, top), (width, top)), "frame"))
    for k, row in enumerate(rows):
        cells = [(said, share) for said, share in row if said or share]
        y, x = top - TITLE_ROW * (k + 1), 0.0
        fixed = sum(text_width(said) + 3 for said, share in cells if not share)
        if k < len(rows) - 1:
            marks.append(Stroke(((0.0, y), (width, y)), "rule"))
        for said, share in cells:
            wide = share * (width - fixed) if share else text_width(said) + 3
            if x:
                marks.append(Stroke(((x, y), (x, y + TITLE_ROW)), "rule"))
            marks.append(Text((x + 1.5, y + 1.3), fitted(said, wide - 2.5), TEXT_HEIGHT))
            x += wide
    return [*marks, *_projection(width - 8, 0.5 * TITLE_ROW)]


def _projection(x: float, y: float) -> list[Mark]:
    """The sign of first-angle projection (ISO 5456-2): a cone at the left, its circles at the right."""
    return [
        Stroke(((x - 5.5, y - 1.0), (x - 5.5, y + 1.0), (x - 1.5, y + 1.8), (x - 1.5, y - 1.8)), "thin", closed=True),
        Arc((x + 3.0, y), 1.8, "thin"),
        Arc((x + 3.0, y), 1.0, "thin"),
        Stroke(((x - 6.2, y), (x - 0.8, y)), "thin"),
        Stroke(((x + 0.7, y), (x + 5.3, y)), "thin"),
    ]
