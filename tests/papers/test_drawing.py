"""The general arrangement: figures from the item only, true scale, line types, and the same bytes every time. All items are invented."""

import io
import math
import os
import re
import subprocess
import sys
from dataclasses import replace
from xml.etree import ElementTree

import ezdxf
import pytest
from ezdxf import recover
from hypothesis import given, settings
from hypothesis import strategies as st

from softseat.papers.drawing import arrangement, arrangement_dxf, arrangement_svg
from softseat.papers.drawing_lettering import text_width
from softseat.papers.drawing_marks import PENS, Arc, Dimension, Hatch, Stroke, Text
from softseat.papers.drawing_measures import LABELS, measures
from softseat.papers.drawing_svg import dimension_marks, hatch_lines
from softseat.papers.texts import text
from softseat.selection.item import Item, Number

SVG = "{http://www.w3.org/2000/svg}"
# every figure unlike every other, so that one on the drawing tells which dimension it came from
DN200 = {
    "face_to_face": 60.2, "disc_diameter": 203.4, "disc_edge_thickness": 12.1, "bore": 201.9, "shaft_diameter": 22.2, "body_outside": 271.8,
    "bolt_circle": 295.3, "holes": 12, "hole_diameter": 23.3, "flange_outside": 340.4, "flange_thickness": 26.6, "centre_to_top": 239.5,
    "centre_to_bottom": 164.7, "operator_height": 121.3, "operator_length": 330.6, "pipe_bore": 206.7, "disc_swing": 194.8,
    "liner_thickness": 9.1, "square": 17.4,
}  # fmt: skip
STYLES = ("wafer", "lugged", "double_flanged")
OPERATORS = ("lever", "gear", "pneumatic_sr", "electric_onoff", "bare_shaft")
HOSTILE = ("<b>&\"'", "]]>", "%%c^J\\P", "\u202eevil", "tag\x00\x07\n2", "Ü№ابج", "x" * 300, "")


def number(value: float | None, unit: str = "mm", basis: str = "invented") -> Number:
    return Number(value, unit, basis=basis)


def item(style: str = "wafer", operator: str = "gear", held: dict[str, float | None] | None = None, **choice: object) -> Item:
    chosen = {
        "build": "W200-16-EP-7", "body_style": style, "size": "DN200", "rating": "PN16", "body": "GJS-400-15", "liner": "EPDM",
        "liner_build": "bonded", "disc": "CF8M", "shaft": "1.4462", "drilling": "EN 1092-2 PN16", "operator": operator,
        "top_flange": "F10", "mass": 14.25, "lifting": "eye", **choice,
    }  # fmt: skip
    dimensions = {k: number(v, "-" if k == "holes" else "mm") for k, v in (DN200 if held is None else held).items()}
    return Item(3, "Valves", 7, "BV-1010", ("BV-1010",), 2, "", "water", "yes", "yes", "", chosen, None, {}, dimensions=dimensions)


def scaled(factor: float, holes: int = 12) -> dict[str, float | None]:
    return {k: holes if k == "holes" else round(v * factor, 1) for k, v in DN200.items()}


def figures(svg: str) -> list[float]:
    """Every number of the lettering that is marked as a dimension figure."""
    told = [e.text or "" for e in ElementTree.fromstring(svg).iter(f"{SVG}text") if e.get("class") == "figure"]
    return [float(n) for text in told for n in re.findall(r"\d+(?:\.\d+)?", text)]


def read(data: bytes) -> ezdxf.document.Drawing:
    """Read back; the audit finds nothing to mend."""
    doc, audit = recover.read(io.BytesIO(data))
    assert not audit.errors
    assert not audit.fixes
    return doc


def allowed(thing: Item) -> set[float]:
    return {round(n.value, 1) for k, n in thing.dimensions.items() if k in LABELS and n.value is not None and math.isfinite(n.value)}


@pytest.mark.parametrize("operator", OPERATORS)
@pytest.mark.parametrize("style", STYLES)
def test_every_figure_is_one_of_the_item(style: str, operator: str) -> None:
    thing = item(style, operator)
    for width in (160.0, 180.0, 277.0):
        told = figures(arrangement_svg(thing, width))
        assert set(told) == allowed(thing), width  # and each one that is held stands somewhere


@settings(max_examples=25, deadline=None)
@given(gone=st.sets(st.sampled_from(sorted(DN200))), style=st.sampled_from(STYLES), operator=st.sampled_from(OPERATORS))
def test_a_dimension_that_is_not_held_is_left_out(gone: set[str], style: str, operator: str) -> None:
    """Outlines may be in proportion; figures are never made up, and the sheet says what was drawn without one."""
    thing = item(style, operator, {k: v for k, v in DN200.items() if k not in gone})
    svg = arrangement_svg(thing, 277.0)
    assert set(figures(svg)) == allowed(thing)
    if {"disc_diameter", "bore"} <= gone:
        assert "No view" in svg
    else:
        assert ("in proportion only" in svg.replace("\n", " ")) or not measures(thing).by_eye or "proportion" in svg


@pytest.mark.parametrize("bad", [None, math.nan, math.inf, -5.0, 0.0])
def test_a_figure_that_is_none_is_not_drawn(bad: float | None) -> None:
    thing = item(held={**DN200, "pipe_bore": bad, "centre_to_top": bad})
    svg = arrangement_svg(thing)
    assert set(figures(svg)) == allowed(item(held={k: v for k, v in DN200.items() if k not in ("pipe_bore", "centre_to_top")}))
    assert "nan" not in svg
    assert "inf" not in svg.replace("information", "")


@pytest.mark.parametrize("style", STYLES)
def test_dxf_is_in_true_millimetres(style: str) -> None:
    """Each dimension measures what it says; it is drawn at 1:1 whatever the scale of the sheet."""
    doc = read(arrangement_dxf(item(style)))
    dimensions = list(doc.modelspace().query("DIMENSION"))
    assert len(dimensions) >= 8
    for d in dimensions:
        said = float(d.dxf.text.lstrip("⌀"))
        assert d.get_measurement() == pytest.approx(said, abs=0.05)
        assert round(said, 1) in allowed(item(style))


def test_dxf_circles_have_the_size_of_the_parts() -> None:
    space = read(arrangement_dxf(item("double_flanged"))).modelspace()
    radii = [round(c.dxf.radius, 3) for c in space.query("CIRCLE")]
    assert radii.count(round(23.3 / 2, 3)) == 12
    for name in ("bore", "bolt_circle", "flange_outside"):
        assert round(DN200[name] / 2, 3) in radii


@pytest.mark.parametrize(("style", "holes"), [("wafer", 12), ("lugged", 8), ("double_flanged", 4), ("double_flanged", 28)])
def test_holes_straddle_the_centre_lines(style: str, holes: int) -> None:
    """EN 1092-1, 5.6 and ASME B16.5, 6.5: bolt holes straddle the centre lines (clause numbers from memory)."""
    thing = item(style, held=scaled(1.0, holes))
    doc = read(arrangement_dxf(thing))
    ring = next(c for c in doc.modelspace().query("CIRCLE") if c.dxf.layer == "CENTRE" and c.dxf.radius == pytest.approx(295.3 / 2))
    centre, r = ring.dxf.center, ring.dxf.radius
    marks = [c.dxf.center - centre for c in doc.modelspace().query("CIRCLE") if abs((c.dxf.center - centre).magnitude - r) < 0.01]
    assert len({(round(m.x, 2), round(m.y, 2)) for m in marks}) == holes
    assert min(min(abs(m.x), abs(m.y)) for m in marks) == pytest.approx(r * math.sin(math.pi / holes), abs=0.01)


@pytest.mark.parametrize("outside", [271.8, 338.6])
def test_an_outside_over_the_lugs_is_told_from_that_of_the_ring(outside: float) -> None:
    """Makers give either; lugs reach over the holes of the bolt circle, the ring stays inside them."""
    thing = item("lugged", "lever", {**DN200, "body_outside": outside})
    m = measures(thing)
    assert m.body < 295.3 - 23.3 < 295.3 + 23.3 < m.over
    assert outside in (m.body, m.over)
    said = [d for d in read(arrangement_dxf(thing)).modelspace().query("DIMENSION") if d.dxf.text == f"⌀{outside}"]
    assert [d.get_measurement() for d in said] == [pytest.approx(outside)]


def test_a_nominal_bore_wider_than_the_disc_stands_in_the_table_only() -> None:
    """The rubber closes on the disc, so no edge of that size can be drawn."""
    thing = item(held={**DN200, "bore": 205.5})
    assert figures(arrangement_svg(thing, 277.0)).count(205.5) == 1
    assert figures(arrangement_svg(item(), 277.0)).count(201.9) == 2
    assert measures(thing).bore == measures(thing).disc


def test_the_length_of_a_gear_is_its_hand_wheel() -> None:
    plan = arrangement(item("wafer", "gear"), 277.0, 190.0)
    assert [m for m in plan.marks if isinstance(m, Arc) and m.pen == "other" and m.radius * plan.reduction == pytest.approx(330.6 / 2)]
    svg = arrangement_svg(item("wafer", "gear"), 277.0)
    assert "hand wheel" in svg
    assert "operator length" not in svg
    assert "operator length" in arrangement_svg(item("wafer", "lever"), 277.0)


def test_styles_differ_at_a_glance() -> None:
    """Tapped lugs have thread arcs, a wafer has through bolts of the pipe, a double-flanged body has its own flange as a visible edge."""
    drawn = {style: arrangement(item(style), 277.0, 190.0) for style in STYLES}
    k = drawn["wafer"].reduction

    def count(style: str, test) -> int:  # type: ignore[no-untyped-def]
        return sum(bool(test(m)) for m in drawn[style].marks)

    def thread(m: object) -> bool:
        return isinstance(m, Arc) and m.pen == "thin" and m.end - m.start == 270

    def flange(m: object) -> bool:
        return isinstance(m, Arc) and m.pen == "outline" and abs(m.radius - 340.4 / 2 / k) < 0.01

    assert [count(s, thread) for s in STYLES] == [0, 12, 0]
    assert [count(s, flange) for s in STYLES] == [0, 0, 1]
    bolts = [count(s, lambda m: isinstance(m, Stroke) and m.pen == "other") for s in STYLES]
    assert bolts[0] > bolts[1] == bolts[2]


def test_the_swing_circle_cuts_the_face_at_the_chord() -> None:
    """Closed form: the chord of a circle at a distance of half the face-to-face from its centre is the swing at the face."""
    plan = arrangement(item(), 277.0, 190.0)
    swing = next(
        m for m in plan.marks if isinstance(m, Arc) and m.pen == "other" and m.end - m.start == 360 and m.radius * plan.reduction < 120
    )
    radius = swing.radius * plan.reduction
    assert 2 * math.sqrt(radius**2 - (60.2 / 2) ** 2) == pytest.approx(194.8, abs=1e-6)


@settings(max_examples=30, deadline=None)
@given(
    factor=st.floats(0.25, 6.0),
    holes=st.sampled_from([4, 8, 12, 16, 20, 24, 28]),
    style=st.sampled_from(STYLES),
    operator=st.sampled_from(OPERATORS),
    width=st.sampled_from([170.0, 180.0, 200.0, 277.0]),
)
def test_nothing_leaves_the_sheet(factor: float, holes: int, style: str, operator: str, width: float) -> None:
    plan = arrangement(item(style, operator, scaled(factor, holes)), width, 0.9 * width, fixed=False)
    for mark in plan.marks:
        for x, y in corners(mark):
            assert -0.01 <= x <= plan.width + 0.01, mark
            assert -0.01 <= y <= plan.height + 0.01, mark


@pytest.mark.parametrize("operator", OPERATORS)
@pytest.mark.parametrize("style", STYLES)
def test_no_words_stand_on_others(style: str, operator: str) -> None:
    """Over the sizes of a range, at the width of a datasheet and of a sheet: no two texts touch."""
    for factor, holes in ((0.26, 4), (0.5, 8), (1.0, 12), (2.0, 20), (4.4, 28)):
        for width in (170.0, 180.0, 277.0):
            plan = arrangement(item(style, operator, scaled(factor, holes)), width, 0.86 * width, fixed=False)
            plain = [p for m in plan.marks for p in (dimension_marks(m) if isinstance(m, Dimension) else [m])]
            boxes = [(t.text, *box(t)) for t in plain if isinstance(t, Text) and t.text.strip()]
            for k, (one, x0, y0, x1, y1) in enumerate(boxes):
                for other, u0, v0, u1, v1 in boxes[k + 1 :]:
                    apart = x1 <= u0 or u1 <= x0 or y1 <= v0 or v1 <= y0
                    assert apart, (one, other, factor, width, plan.reduction)


def box(text: Text) -> tuple[float, float, float, float]:
    w, a = text_width(text.text, text.height), {"start": 0.0, "middle": 0.5, "end": 1.0}[text.anchor]
    x, y = text.at
    if text.angle:
        return x - text.height, y - a * w, x, y + (1 - a) * w
    return x - a * w, y, x + (1 - a) * w, y + text.height


def corners(mark: object) -> list[tuple[float, float]]:
    match mark:
        case Stroke() | Hatch():
            return list(mark.points)
        case Arc():
            return [(mark.centre[0] + s * mark.radius, mark.centre[1] + t * mark.radius) for s in (-1, 1) for t in (-1, 1)]
        case Text():
            w, a = text_width(mark.text, mark.height), {"start": 0.0, "middle": 0.5, "end": 1.0}[mark.anchor]
            along = [-(a * w), (1 - a) * w]
            return [(mark.at[0], mark.at[1] + d) if mark.angle else (mark.at[0] + d, mark.at[1]) for d in along]
        case Dimension():
            return [p for part in dimension_marks(mark) for p in corners(part)]
    raise AssertionError(mark)


def test_the_views_of_a_larger_valve_are_no_larger() -> None:
    reductions = [arrangement(item(held=scaled(f)), 277.0, 190.0).reduction for f in (0.25, 0.5, 1.0, 2.0, 4.0)]
    assert reductions == sorted(reductions)
    assert reductions[0] < reductions[-1]


def test_lettering_lines_and_colours() -> None:
    """Lettering of 2.5 mm and more (ISO 3098), widths of the series of ISO 128-2, black and white only."""
    svg = arrangement_svg(item(), 180.0)
    sizes = [float(s) for s in re.findall(r'font-size="([\d.]+)"', svg)]
    assert min(sizes) * 0.729 >= 2.5 - 0.01  # capitals of DejaVu Sans Mono: 1493 of 2048 units (OS/2 table of the font)
    assert {p.width for p in PENS.values()} <= {0.13, 0.18, 0.25, 0.35, 0.5, 0.7, 1.0}
    assert set(re.findall(r"#[0-9a-fA-F]{3,6}", svg)) == {"#000", "#fff"}
    assert 'width="180mm"' in svg
    doc = read(arrangement_dxf(item()))
    assert {layer.color for layer in doc.layers if layer.dxf.name in {p.layer for p in PENS.values()}} == {7}
    assert doc.layers.get("OUTLINE").dxf.lineweight == 2 * doc.layers.get("THIN").dxf.lineweight
    assert doc.layers.get("CENTRE").dxf.linetype != doc.layers.get("HIDDEN").dxf.linetype != "Continuous"


@pytest.mark.parametrize("tag", HOSTILE)
def test_hostile_tags(tag: str) -> None:
    thing = replace(item(build=tag or None, disc=tag), tag=tag, tags=(tag, *HOSTILE) * 9)
    svg = arrangement_svg(thing)
    ElementTree.fromstring(svg)
    assert not re.search("[\u202a-\u202e\x00-\x08]", svg)
    doc = read(arrangement_dxf(thing))
    texts = [t.dxf.text for t in doc.modelspace().query("TEXT")]
    assert any("more" in t for t in texts)
    assert not any("%%" in t or "\n" in t for t in texts)


def test_the_title_block_names_build_tags_maker_and_caution() -> None:
    maker = {"name": "demo", "title": "Sample range", "invented": "yes"}
    told = {"maker": maker, "tags": ["XV-1", "XV-2"], "quantity": 9}
    space = read(arrangement_dxf(item("wafer", "lever"), **told)).modelspace()
    for drawn in (arrangement_svg(item("wafer", "lever"), 277.0, **told), " ".join(t.dxf.text for t in space.query("TEXT"))):
        for said in ("W200-16-EP-7", "XV-1, XV-2", "quantity 9", "Sample range", "invented", "competent engineer", "scale 1:5"):
            assert said in drawn, said
        assert "first-angle" in drawn
    code = "W200-16-D400-15-EPDMP-PAcoatedDI-14021-GR-G700-two"
    assert code in arrangement_svg(item(build=code), 170.0).split("</title>")[1]  # a code cut short orders nothing
    assert text("maker.invented") in arrangement_svg(item(), 170.0, maker={"title": "A very long name " * 9})
    held = replace(item(), dimensions={k: number(v, basis="tested") for k, v in DN200.items()})
    assert "invented" not in arrangement_svg(held, maker={"title": "Works range", "invented": "no"})


def test_the_centre_of_mass_stands_at_its_figure_or_is_called_estimated() -> None:
    known = replace(item(), dimensions={**item().dimensions, "centre_of_mass": number(71.5)})
    plan = arrangement(known, 277.0, 190.0)
    axis = next(m.centre[1] for m in plan.marks if isinstance(m, Arc) and m.radius == pytest.approx(201.9 / 2 / plan.reduction))
    sign = next(m for m in plan.marks if isinstance(m, Arc) and m.radius == 1.6)
    assert (sign.centre[1] - axis) * plan.reduction == pytest.approx(71.5)
    assert "estimated" not in arrangement_svg(known, 277.0)
    assert "estimated" in arrangement_svg(item(), 277.0)
    assert not [m for m in arrangement(item(mass=None), 277.0, 190.0).marks if isinstance(m, Arc) and m.radius == 1.6]


@settings(max_examples=40, deadline=None)
@given(st.lists(st.tuples(st.floats(5, 40), st.floats(0.3, 1.0)), min_size=3, max_size=9), st.sampled_from([45.0, -45.0, 0.0, 30.0]))
def test_hatch_lines_fill_the_area(spokes: list[tuple[float, float]], angle: float) -> None:
    """Length of all lines times their pitch is the area of the face (shoelace formula), to a pitch along its edge."""
    turn = [sum(s for _, s in spokes[: k + 1]) / sum(s for _, s in spokes) * 2 * math.pi for k in range(len(spokes))]
    points = [(r * math.cos(a), r * math.sin(a)) for (r, _), a in zip(spokes, turn, strict=True)]
    around = list(zip(points, [*points[1:], points[0]], strict=True))
    area = abs(sum(p[0] * q[1] - q[0] * p[1] for p, q in around)) / 2
    length = sum(math.dist(p, q) for p, q in around)
    drawn = sum(math.dist(a, b) for a, b in hatch_lines(points, angle, 0.25)) * 0.25
    assert drawn == pytest.approx(area, abs=0.25 * length / 2 + 1e-9)


def test_the_same_bytes_in_another_run() -> None:
    script = "import sys,hashlib; sys.path.insert(0, sys.argv[1]); import test_drawing as t; print(hashlib.sha256(t.both()).hexdigest())"
    runs = {
        subprocess.run(
            [sys.executable, "-W", "error", "-c", script, os.path.dirname(__file__)],
            env={**os.environ, "PYTHONHASHSEED": seed, "TZ": zone},
            capture_output=True,
            check=True,
        ).stdout
        for seed, zone in (("1", "UTC"), ("2", "Asia/Tokyo"))
    }
    assert len(runs) == 1
    assert both() == both()


def both() -> bytes:
    return arrangement_svg(item("lugged")).encode() + arrangement_dxf(item("lugged"))
