"""Curves: what the drawing must hold; read back as XML."""

import re
import xml.etree.ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat.papers.datasheet import plots
from softseat.papers.plot import Plot, Spot, round_up
from softseat.selection.item import Curve

SVG = "{http://www.w3.org/2000/svg}"


def test_both_plots_of_a_sheet(sample):
    kv, torque = (ET.fromstring(p) for p in plots(sample.item(0)))
    assert len(kv.findall(f"{SVG}circle")) == 3  # lowest, normal, highest
    assert len(torque.findall(f"{SVG}polyline")) == 2
    assert {"torque required", "operator torque"} <= {t.text for t in torque.findall(f"{SVG}text")}


def test_a_line_lies_in_its_band(sample):
    root = ET.fromstring(plots(sample.item(0))[0])
    heights = [float(p.split(",")[1]) for p in root.find(f"{SVG}polyline").get("points").split()]
    band = [float(p.split(",")[1]) for p in root.find(f"{SVG}polygon").get("points").split()]
    low, high = band[: len(heights)], band[len(heights) :][::-1]
    assert all(b <= a <= c for a, b, c in zip(heights, high, low, strict=True))
    assert heights == sorted(heights, reverse=True)  # the sample's Kv rises, and SVG counts downwards


def test_nan_breaks_no_drawing_and_names_are_escaped():
    nan = float("nan")
    drawn = Plot(
        "<&>", [Curve("a<b", "m3/h", (0, 45, 90), (0.0, nan, 5.0)), Curve("c", "m3/h", (0, 90), (1.0, 2.0))], [Spot("x&y", 45, 2)]
    ).svg()
    assert "nan" not in drawn
    assert "x&y" in [t.text for t in ET.fromstring(drawn).findall(f"{SVG}text")]


def test_an_axis_reaches_below_zero_where_a_curve_does():
    """Closing torque below zero: the flow drives the disc."""
    root = ET.fromstring(Plot("t", [Curve("a", "N m", (0, 45, 90), (100.0, -30.0, 10.0))]).svg())
    figures = [t.text for t in root.findall(f"{SVG}text") if t.get("text-anchor") == "end"]
    assert figures[:6] == ["−50", "−25", "0", "25", "50", "75"]
    heights = [float(p.split(",")[1]) for p in root.find(f"{SVG}polyline").get("points").split()]
    (zero,) = [float(r.get("y1")) for r in root.findall(f"{SVG}line") if r.get("stroke") == "#1a1a1a"]
    assert heights[1] > zero > heights[2]


@pytest.mark.parametrize("curve", [Curve("a", "-", (), ()), Curve("a", "-", (0.0, 1.0), (float("nan"), 1.0))])
def test_nothing_to_draw_is_nothing(curve):
    assert Plot("t", [curve]).svg() == ""


@given(st.floats(1, 9.999), st.integers(-6, 8))
def test_the_axis_ends_just_above_the_highest(digits, power):
    value = digits * 10.0**power
    top = round_up(value)
    assert value * (1 - 1e-9) <= top <= 1.51 * value
    assert re.fullmatch(r"(1|1\.2|1\.6|2|2\.4|3\.2|4|6|8)e[+-]\d+", f"{top:.1e}".replace(".0e", "e"))
