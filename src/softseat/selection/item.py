"""One explained item: what papers, JSON and screens are made of. Numbers are as shown, with their unit beside them."""

from dataclasses import asdict, dataclass, field
from typing import Any


@dataclass(frozen=True, slots=True)
class Number:
    """A number as shown to people; ``low`` and ``high`` are its band where it has one."""

    value: float | None
    unit: str
    low: float | None = None
    high: float | None = None
    basis: str = ""  # tested, calculated, invented, given, assumed
    at: str = ""  # where on the stroke, at which point


@dataclass(frozen=True, slots=True)
class Finding:
    rule: str
    severity: str  # stop, query, condition, advice, care
    applies_to: str  # asked, offered, both
    text: str
    value: float | str | None = None
    limit: float | str | None = None
    unit: str = ""
    source: str = ""
    remedy: str = ""
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Question:
    field: str
    text: str
    effect: float | None = None  # share of plausible answers that change the verdict or the build
    assumed: str = ""


@dataclass(frozen=True, slots=True)
class Assumption:
    field: str
    value: str
    reason: str


@dataclass(frozen=True, slots=True)
class Deviation:
    """What was asked and is offered otherwise."""

    field: str
    asked: str
    offered: str
    why: str


@dataclass(frozen=True, slots=True)
class Curve:
    """A line to draw over ``opening`` [deg], or over what ``along`` names (time [s], way [m]); ``low`` and ``high`` its band."""

    name: str
    unit: str
    opening: tuple[float, ...]
    value: tuple[float, ...]
    low: tuple[float, ...] = ()
    high: tuple[float, ...] = ()
    along: str = "opening"  # opening, time, way


@dataclass(frozen=True, slots=True)
class Rung:
    """One build of the ladder: what it is, its margins (1 = just enough), and why it is not the one."""

    build: str
    text: str
    chosen: bool
    margins: dict[str, float] = field(default_factory=dict)
    why_not: str = ""


@dataclass(frozen=True, slots=True)
class Item:
    n: int
    sheet: str
    row: int
    tag: str
    tags: tuple[str, ...]
    quantity: int
    service: str
    medium: str
    as_asked: str  # yes, if, no, ask
    offered: str
    sentence: str  # the verdict in one sentence
    choice: dict[str, Any] | None  # build, body_style, size, rating, body, liner, ... as the contract names them
    other_family: dict[str, str] | None
    numbers: dict[str, Number]
    points: tuple[dict[str, Any], ...] = ()  # operating points: {"point": "normal", "flow": Number, ...}
    findings: tuple[Finding, ...] = ()
    questions: tuple[Question, ...] = ()
    assumptions: tuple[Assumption, ...] = ()
    deviations: tuple[Deviation, ...] = ()
    origins: dict[str, dict[str, Any]] = field(default_factory=dict)
    asked: dict[str, str] = field(default_factory=dict)  # what was asked, as typed, by field
    ladder: tuple[Rung, ...] = ()
    curves: tuple[Curve, ...] = ()
    dimensions: dict[str, Number] = field(default_factory=dict)  # what the drawing shows [mm], by name
    tests: dict[str, Any] = field(default_factory=dict)  # test pressures, times, leakage: {"shell": Number, ...}
    bolting: tuple[dict[str, Any], ...] = ()  # lines of the bolting list
    steps: tuple[dict[str, Any], ...] = ()  # the calculation sheet: calculation, formula, source, inputs, results
    duty: dict[str, Number] = field(default_factory=dict)  # the duty as read: temperatures, pressures, flows
    sources: tuple[str, ...] = ()
    surge: str = ""  # what the stated closing does to the line, in words
    flips: tuple[str, ...] = ()  # small changes of the duty that turn the verdict, in words

    def as_json(self) -> dict[str, Any]:
        """Plain dictionaries and lists, in the order of the fields."""
        return asdict(self)
