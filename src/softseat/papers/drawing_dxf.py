"""Marks as DXF: the valve in true size in model space, dimensions as dimensions, line types on layers."""

import io
from collections.abc import Iterable, Iterator
from contextlib import contextmanager

import ezdxf
from ezdxf import units
from ezdxf.document import Drawing
from ezdxf.enums import TextEntityAlignment
from ezdxf.layouts import Modelspace

from softseat.papers.drawing_lettering import TEXT_HEIGHT
from softseat.papers.drawing_marks import PENS, Arc, Dimension, Hatch, Mark, Point, Stroke, Text

STYLE = "LETTERING"
ANCHORS = {"start": TextEntityAlignment.LEFT, "middle": TextEntityAlignment.CENTER, "end": TextEntityAlignment.RIGHT}


def dxf(marks: Iterable[Mark], reduction: float, width: float, height: float) -> bytes:
    """A drawing file (R2010, UTF-8) of marks on paper [mm], enlarged so that the valve has its true size."""
    with _timeless():
        doc = ezdxf.new("R2010", units=units.MM)
        _furnish(doc, reduction)
        space = doc.modelspace()
        for mark in marks:
            _add(space, mark, reduction)
        space.reset_extents((0, 0, 0), (width * reduction, height * reduction, 0))
        doc.set_modelspace_vport(height * reduction * 1.05, center=(width * reduction / 2, height * reduction / 2))
        # the library adds classes in the order of a set: named here first, so that equal drawings are equal bytes
        for name in sorted({e.dxftype() for e in doc.entitydb.values()}):
            doc.classes.add_class(name)
        stream = io.StringIO()
        doc.write(stream)
    return stream.getvalue().encode("utf-8", errors="dxfreplace")


@contextmanager
def _timeless() -> Iterator[None]:
    """No clock and no chance in the file: the library's own switch sets dates and identifiers to constants."""
    before = ezdxf.options.write_fixed_meta_data_for_testing
    ezdxf.options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = before


def _furnish(doc: Drawing, reduction: float) -> None:
    doc.header["$LTSCALE"] = reduction
    doc.header["$MEASUREMENT"] = 1
    doc.header["$LWDISPLAY"] = 1
    doc.styles.add(STYLE, font="DejaVuSansMono.ttf")
    for pen in PENS.values():
        name = "Continuous"
        if pen.dashes:
            name = f"{pen.layer}_LINE"
            if name not in doc.linetypes:
                signed = [d if k % 2 == 0 else -d for k, d in enumerate(pen.dashes)]
                doc.linetypes.add(name, [sum(pen.dashes), *signed])
        if pen.layer not in doc.layers:
            doc.layers.add(pen.layer, color=7, linetype=name, lineweight=round(pen.width * 100))
    style = doc.dimstyles.new("FIGURES")
    style.set_arrows(blk="")  # the closed filled head
    style.dxf.dimtxsty = STYLE
    style.dxf.dimscale = reduction
    style.dxf.dimtxt, style.dxf.dimasz, style.dxf.dimgap, style.dxf.dimexe, style.dxf.dimexo = TEXT_HEIGHT, 2.5, 0.8, 1.5, 0.75
    style.dxf.dimtad, style.dxf.dimtih, style.dxf.dimtoh, style.dxf.dimdec, style.dxf.dimzin = 1, 0, 0, 1, 8
    style.dxf.dimlwd, style.dxf.dimlwe, style.dxf.dimclrd, style.dxf.dimclre, style.dxf.dimclrt = 25, 25, 7, 7, 7


def _add(space: Modelspace, mark: Mark, k: float) -> None:
    def to(point: Point) -> Point:
        return point[0] * k, point[1] * k

    match mark:
        case Stroke():
            space.add_lwpolyline([to(p) for p in mark.points], close=mark.closed, dxfattribs={"layer": PENS[mark.pen].layer})
        case Arc() if mark.end - mark.start >= 360:
            space.add_circle(to(mark.centre), mark.radius * k, dxfattribs={"layer": PENS[mark.pen].layer})
        case Arc():
            space.add_arc(to(mark.centre), mark.radius * k, mark.start, mark.end, dxfattribs={"layer": PENS[mark.pen].layer})
        case Hatch():
            _hatch(space, mark, [to(p) for p in mark.points], k)
        case Text():
            at = {"layer": "TEXT", "style": STYLE, "height": mark.height * k, "rotation": mark.angle}
            space.add_text(plain(mark.text), dxfattribs=at).set_placement(to(mark.at), align=ANCHORS[mark.anchor])
        case Dimension():
            space.add_linear_dim(
                to(mark.at),
                to(mark.start),
                to(mark.end),
                angle=mark.angle,
                text=mark.text,
                dimstyle="FIGURES",
                dxfattribs={"layer": "DIMENSION"},
            ).render()


def _hatch(space: Modelspace, mark: Hatch, points: list[Point], k: float) -> None:
    hatch = space.add_hatch(color=7, dxfattribs={"layer": "HATCH"})
    if mark.pitch:
        hatch.set_pattern_fill("CUT", definition=[[mark.angle, (0, 0), _step(mark.angle, mark.pitch * k), []]])
    hatch.paths.add_polyline_path(points, is_closed=True)


def _step(angle: float, pitch: float) -> Point:
    """From one hatch line to the next: across their direction."""
    turned = ezdxf.math.Vec2.from_deg_angle(angle + 90, pitch)
    return turned.x, turned.y


def plain(text: str) -> str:
    """Text without the signs that a drawing file reads as commands."""
    return text.replace("%%", "% %").replace("^", "^ ").replace("\\", "/")
