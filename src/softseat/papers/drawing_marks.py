"""What a drawing is made of: marks on the paper [mm], in line types of ISO 128, before they become SVG or DXF."""

from dataclasses import dataclass

from softseat.papers.drawing_lettering import TEXT_HEIGHT

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Pen:
    """A line type of ISO 128-2 with its width and dash lengths on paper [mm]."""

    layer: str
    width: float
    dashes: tuple[float, ...] = ()


PENS = {
    "outline": Pen("OUTLINE", 0.5),  # 01.2 continuous thick: visible edges
    "thin": Pen("THIN", 0.25),  # 01.1 continuous thin
    "hidden": Pen("HIDDEN", 0.25, (3.0, 0.75)),  # 02.1 dashed thin
    "centre": Pen("CENTRE", 0.25, (6.0, 0.75, 0.25, 0.75)),  # 04.1 long-dashed dotted thin
    "other": Pen("ADJACENT", 0.25, (6.0, 0.75, 0.25, 0.75, 0.25, 0.75)),  # 05.1 long-dashed double-dotted thin: other parts, end positions
    "plane": Pen("SECTION_PLANE", 0.5),  # ends of the cutting plane
    "hatch": Pen("HATCH", 0.18),
    "dimension": Pen("DIMENSION", 0.25),
    "frame": Pen("FRAME", 0.5),
    "rule": Pen("TABLE", 0.25),
    "text": Pen("TEXT", 0.25),
}


@dataclass(frozen=True, slots=True)
class Stroke:
    points: tuple[Point, ...]
    pen: str = "outline"
    closed: bool = False


@dataclass(frozen=True, slots=True)
class Arc:
    """Counter-clockwise from start to end [deg]; a whole circle by default."""

    centre: Point
    radius: float
    pen: str = "outline"
    start: float = 0.0
    end: float = 360.0


@dataclass(frozen=True, slots=True)
class Hatch:
    """A cut face: lines at an angle [deg] and pitch [mm]; pitch 0 blackens it, as ISO 128-50 allows for thin sections."""

    points: tuple[Point, ...]
    angle: float = 45.0
    pitch: float = 0.0


@dataclass(frozen=True, slots=True)
class Text:
    at: Point
    text: str
    height: float = TEXT_HEIGHT
    anchor: str = "start"  # start, middle, end
    angle: float = 0.0
    figure: bool = False  # a dimension figure


@dataclass(frozen=True, slots=True)
class Dimension:
    """A length between two points of the view, its line through ``at``, horizontal (0) or vertical (90)."""

    start: Point
    end: Point
    at: Point
    text: str
    angle: float = 0.0
    first: bool = False  # a figure that finds no room between its arrows goes to the near end, below or left


Mark = Stroke | Arc | Hatch | Text | Dimension
