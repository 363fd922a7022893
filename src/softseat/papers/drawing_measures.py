"""The measures of one valve as the drawing needs them: figures that are held, and proportions where one is not."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from softseat import tables
from softseat.selection.item import Item

LABELS = {
    "face_to_face": "face-to-face",
    "disc_diameter": "disc diameter",
    "disc_edge_thickness": "disc edge",
    "disc_swing": "swing at face",
    "bore": "bore",
    "liner_thickness": "liner thickness",
    "pipe_bore": "pipe bore",
    "body_outside": "body outside",
    "flange_outside": "flange outside",
    "flange_thickness": "flange thickness",
    "bolt_circle": "bolt circle",
    "holes": "bolt holes",
    "hole_diameter": "flange hole",
    "shaft_diameter": "shaft diameter",
    "square": "shaft square",
    "centre_to_top": "centre to top",
    "centre_to_bottom": "centre to bottom",
    "operator_height": "operator height",
    "operator_length": "operator length",
}
STYLES = {"wafer": "wafer", "lugged": "lugged", "double_flanged": "double-flanged"}
OPERATORS = (
    ("lever", "lever"),
    ("gear", "gear"),
    ("pneum", "cylinder"),
    ("cylind", "cylinder"),
    ("elect", "electric"),
    ("motor", "electric"),
)


@dataclass(frozen=True, slots=True)
class Measures:
    """Lengths on paper [mm]. ``held`` are the maker's figures [mm]; ``by_eye`` names what is drawn in proportion only."""

    scale: float  # paper over valve
    style: str
    operator: str  # lever, gear, cylinder, electric, or "" for a bare shaft
    held: Mapping[str, float]
    by_eye: tuple[str, ...]
    length: float
    disc: float
    bore: float
    liner: float
    body: float  # outside of the ring or shell
    over: float  # outside of the whole body: ring, lugs or flanges
    shaft: float
    hub: float  # half width of the disc's hub over the shaft
    neck: float  # half width
    top: float
    bottom: float
    plate: float  # half width of the top flange
    square: float
    high: float  # operator above the top flange
    long: float  # operator, overall
    wheel: float  # diameter of the hand wheel of a gear, 0 for other operators
    swing: float  # diameter that the edge of the disc sweeps
    flange: float  # outside diameter, 0 where not held
    flange_thickness: float
    circle: float
    holes: int
    hole: float
    pipe: float

    def true(self, name: str) -> float:
        """A figure that is held, at its true length on paper."""
        return self.held[name] * self.scale

    @property
    def lip(self) -> float:
        """Thickness of the liner where it folds over the face: a proportion."""
        return min(0.45 * self.liner, 0.12 * self.length)

    @property
    def lip_top(self) -> float:
        """Radius to which the fold reaches: a proportion."""
        return self.bore / 2 + self.liner + 0.45 * max(self.body / 2 - self.bore / 2 - self.liner, 0.0)

    @property
    def bush(self) -> float:
        """Half width over the bush: a proportion."""
        return self.shaft / 2 + max(min(0.11 * self.shaft, 0.35 * (self.length / 2 - self.lip - self.shaft / 2)), 0.0)

    @property
    def lug(self) -> float:
        """Radius of a lug round its hole."""
        return (self.over - self.circle) / 2 if self.over > self.circle else 0.95 * self.hole

    @property
    def outer(self) -> float:
        """Radius that the face view needs round the pipe axis."""
        return max(self.over, self.flange, self.circle + self.hole) / 2

    @property
    def foot(self) -> float:
        """How far the valve and its flanges go below the pipe axis."""
        return max(self.bottom, self.over / 2, self.flange / 2)

    @property
    def crest(self) -> float:
        """How far the operator goes above the top flange, its hand wheel included."""
        return max(self.high, 0.45 * self.high + self.wheel / 2) if self.wheel else self.high

    @property
    def pairs(self) -> int:
        """Holes of the bolt circle, 0 where the ring cannot be drawn."""
        return self.holes if self.circle and self.hole else 0


def held(item: Item) -> dict[str, float]:
    """The figures of the item [mm] that can be drawn, in the order of the table."""
    found = {}
    for name in LABELS:
        number = item.dimensions.get(name)
        if number is not None and number.value is not None and math.isfinite(number.value) and number.value > 0:
            found[name] = float(number.value)
    return found


def mass_of(item: Item) -> float:
    """Mass of the build [kg], 0 where it is not held."""
    mass = (item.choice or {}).get("mass")
    return float(mass) if isinstance(mass, int | float) and math.isfinite(mass) and mass > 0 else 0.0


def label_of(name: str, item: Item) -> str:
    """What a dimension is called in the table; the length of a gear is that of its hand wheel."""
    return "hand wheel" if name == "operator_length" and operator_of(item.choice or {}) == "gear" else LABELS[name]


def drawable(item: Item) -> bool:
    """True where something is known that fixes the size of the picture."""
    return any(name in held(item) for name in ("disc_diameter", "bore"))


def style_of(choice: Mapping[str, Any]) -> str:
    """wafer, lugged, double_flanged; "" for a style that this drawing does not know."""
    word = str(choice.get("body_style") or "").strip().lower().replace("-", "_").replace(" ", "_")
    return word if word in STYLES else ""


def operator_of(choice: Mapping[str, Any]) -> str:
    word = str(choice.get("operator") or "").lower()
    return next((kind for key, kind in OPERATORS if key in word), "")


def _plate(choice: Mapping[str, Any]) -> float | None:
    """Outside diameter of the top flange [mm] by ISO 5211, None for an unknown designation."""
    row = tables.index("iso5211_flanges", "flange").get(str(choice.get("top_flange") or "").strip())
    size = tables.number(row["d1_mm"]) if row else math.nan
    return size if math.isfinite(size) else None


class _Lengths:
    """The figures of an item at a scale, a proportion where there is none, and what was drawn so."""

    def __init__(self, item: Item, scale: float) -> None:
        self.held, self.scale = held(item), scale
        self.by_eye: list[str] = []
        self.base = self.held.get("disc_diameter") or self.held.get("bore") or 100.0

    def of(self, name: str, share: float, told: str) -> float:
        """A length on paper; without its figure a share of the disc, entered as told."""
        if name not in self.held and told:
            self.by_eye.append(told)
        return self.held.get(name, share * self.base) * self.scale

    def if_held(self, name: str) -> float:
        return self.held.get(name, 0.0) * self.scale


def measures(item: Item, scale: float = 1.0) -> Measures:
    """The lengths to draw at this scale. What is not held is drawn in proportion to the disc and named as such."""
    choice, lengths = item.choice or {}, _Lengths(item, scale)
    given, k = lengths.held, lengths.base * scale
    face, disc = lengths.of("face_to_face", 0.4, "face-to-face"), lengths.of("disc_diameter", 1.0, "disc")
    bore = min(lengths.of("bore", 1.0, ""), disc)  # the rubber closes on the disc, also where the bore held is a nominal one
    liner, shaft = lengths.of("liner_thickness", 0.045, "liner"), lengths.of("shaft_diameter", 0.11, "shaft")
    ring, circle, hole, flange = (
        bore + 2 * liner + 0.2 * k,
        *(lengths.if_held(n) for n in ("bolt_circle", "hole_diameter", "flange_outside")),
    )
    style, holes, plate = style_of(choice), int(given.get("holes", 0)), _plate(choice)
    over, body = _body(style, lengths.of("body_outside", ring / k, "body"), ring, circle, hole)
    return Measures(
        scale=scale, style=style, held=given, length=face, disc=disc, bore=bore, liner=liner, body=body, over=over, shaft=shaft,
        hub=max(min(0.8 * shaft, max(0.62 * shaft, 0.45 * face)), lengths.if_held("disc_edge_thickness") / 2),
        neck=_neck(shaft, face, circle, holes, hole),
        top=lengths.of("centre_to_top", max(over, flange, circle) / 2 / k + 0.25, "neck"),
        bottom=lengths.of("centre_to_bottom", body / 2 / k + 0.12, "lower end"),
        plate=plate / 2 * scale if plate else 2.2 * shaft,
        square=lengths.of("square", 0.75 * shaft / k, ""),
        swing=math.hypot(lengths.if_held("disc_swing"), face) if {"disc_swing", "face_to_face"} <= given.keys() else disc,
        flange=flange,
        flange_thickness=lengths.of("flange_thickness", 0.12 if flange else 0.0, "flange thickness" if flange else ""),
        circle=circle, holes=holes, hole=hole, pipe=lengths.if_held("pipe_bore"),
        **_operator(operator_of(choice), lengths),
        by_eye=tuple(dict.fromkeys(lengths.by_eye)),
    )  # fmt: skip


def _operator(kind: str, lengths: _Lengths) -> dict[str, Any]:
    """Height and length of the operator; the length held of a gear is its hand wheel."""
    told = "operator" if kind else ""
    high = lengths.of("operator_height", 0.5 if kind else 0.0, told)
    long = lengths.of("operator_length", (0.9 if kind == "gear" else 1.2) if kind else 0.0, told)
    return {"operator": kind, "high": high, "long": long, "wheel": long if kind == "gear" else 0.0}


def _body(style: str, outside: float, ring: float, circle: float, hole: float) -> tuple[float, float]:
    """Outside of the whole body, and of its ring: the figure held is that of the lugs or flanges where it reaches over the holes."""
    if style == "wafer" or not circle or outside <= circle - hole:
        return (max(outside, circle + 1.9 * hole) if style == "lugged" and circle else outside), outside
    return outside, min(ring, circle - 1.3 * hole)


def _neck(shaft: float, face: float, circle: float, holes: int, hole: float) -> float:
    """Half width of the neck: a proportion that keeps clear of the two holes beside it."""
    wanted = min(1.15 * shaft, 0.48 * face)
    between = circle / 2 * math.sin(math.pi / holes) - hole if holes else wanted
    return max(min(wanted, between), 0.75 * shaft)
