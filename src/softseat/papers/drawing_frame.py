"""What stands round the views: dimension table, parts, notes."""

from collections.abc import Sequence

from softseat.papers.drawing_lettering import broken, figure
from softseat.papers.drawing_marks import Mark, Stroke, Text
from softseat.papers.drawing_measures import LABELS, held, label_of
from softseat.papers.drawing_shapes import moved, rectangle
from softseat.papers.texts import word
from softseat.selection.item import Item

ROW = 4.4  # height of a line of the tables [mm]
TABLE_WIDTH = 51.0  # [mm]


def table_rows(item: Item) -> list[tuple[str, str]]:
    """Every figure that is held, in the order of the trade."""
    return [(label_of(name, item), figure(value)) for name, value in held(item).items()]


def dimension_table(rows: Sequence[tuple[str, str]], columns: int = 1) -> tuple[list[Mark], float, float]:
    """The table with its top left corner at (0, 0), its width and its height [mm]."""
    deep = -(-len(rows) // columns)
    width, height = TABLE_WIDTH * columns, ROW * (deep + 1)
    marks: list[Mark] = [rectangle(0.0, 0.0, width, -height, "rule"), Stroke(((0.0, -ROW), (width, -ROW)), "frame")]
    for column in range(columns if deep else 1):
        x = column * TABLE_WIDTH
        if column:
            marks.append(Stroke(((x, 0.0), (x, -height)), "rule"))
        marks += [Text((x + 1.2, -ROW + 1.1), "dimension"), Text((x + TABLE_WIDTH - 1.2, -ROW + 1.1), "mm", anchor="end")]
        for k, (label, value) in enumerate(rows[column * deep : (column + 1) * deep]):
            y = -ROW * (k + 2) + 1.1
            pair = label != LABELS["holes"]
            marks += [
                Text((x + 1.2, y), label if pair else label + " (number)"),
                Text((x + TABLE_WIDTH - 1.2, y), value, anchor="end", figure=True),
            ]
    return marks, width, height


def parts(item: Item) -> list[str]:
    """Numbered parts with their material, as the offer names them."""
    choice = item.choice or {}
    found = []
    for number, name in enumerate(("body", "liner", "disc", "shaft"), start=1):
        told = [word(choice.get(name) or "")]
        if name == "liner":
            told.append(word(choice.get("liner_build") or ""))
        if said := ", ".join(t for t in told if t):
            found.append(f"{number} {name}: {said}")
    if choice.get("lifting") in ("eye", "hole"):
        found.append(f"5 lifting {choice['lifting']}")
    return found


def paragraph(lines: Sequence[str], width: float) -> tuple[list[Mark], float]:
    """Lines broken to a width, the top left corner at (0, 0), and their height [mm]."""
    pieces = [piece for line in lines for piece in broken(line, width)]
    return [Text((0.0, -ROW * (k + 1) + 1.1), piece) for k, piece in enumerate(pieces)], ROW * len(pieces)


def columns(lines: Sequence[str], width: float) -> tuple[list[Mark], float]:
    """A paragraph in as many columns as are worth reading, and its height [mm]."""
    count = max(int(width // 90), 1)
    deep = -(-len(lines) // count)
    marks: list[Mark] = []
    height = 0.0
    for k in range(count):
        told, high = paragraph(lines[k * deep : (k + 1) * deep], width / count - 4)
        marks += moved(told, k * width / count, 0.0)
        height = max(height, high)
    return marks, height
