"""Invented items for the tests of the papers: every verdict, hostile tags, bands, points, a choice that is missing."""

from dataclasses import replace
from typing import Any

from softseat.selection.item import Assumption, Curve, Deviation, Finding, Item, Number, Question, Rung

MAKER = {"name": "demo", "title": "Sample range", "invented": "yes"}
OPENINGS = tuple(range(10, 91, 10))
KV = (18.0, 55.0, 110.0, 190.0, 300.0, 450.0, 640.0, 820.0, 905.0)
TORQUE = (210.0, 96.0, 88.0, 84.0, 82.0, 84.0, 91.0, 88.0, 70.0)
LONG_TAG = "UNIT-77/" + "AREA" * 73  # 300 characters
TAGS = (
    "BV-1001",
    "BV-1002A/B",
    "../../x",
    "CON",
    LONG_TAG,
    "ابج-12\u202e34",
    "Ventil-Ü7 (№ 3)",
    "#let x = 1",
    "BV-1009",
    "BV-1010",
    "BV-1011",
    "",
)
VERDICTS = ("yes", "if", "if", "yes", "yes", "if", "yes", "yes", "no", "no", "ask", "ask")


def choice(n: int) -> dict[str, Any]:
    style, operator = ("wafer", "lugged", "double_flanged")[n % 3], ("lever", "gear", "pneumatic_sr")[n % 3]
    return {
        "build": f"W{150 + 50 * (n % 4)}-16-EP-{n % 5}",
        "body_style": style,
        "size": f"DN{150 + 50 * (n % 4)}",
        "rating": "PN16",
        "body": "GJS-400-15",
        "liner": "EPDM",
        "liner_grade": "EPDM_P",
        "liner_build": "bonded",
        "disc": "CF8M",
        "coating": "",
        "shaft": "1.4462",
        "bush": "POM",
        "drilling": "EN 1092-2 PN16",
        "operator": operator,
        "top_flange": "F10",
        "mass": 14.2 + 3.15 * n,
    }


def curves() -> tuple[Curve, ...]:
    return (
        Curve("kv", "m3/h", OPENINGS, KV, tuple(0.82 * v for v in KV), tuple(1.2 * v for v in KV)),
        Curve("torque required", "N m", OPENINGS, TORQUE, tuple(0.6 * v for v in TORQUE), tuple(1.4 * v for v in TORQUE)),
        Curve("operator torque", "N m", OPENINGS, tuple(340.0 - 0.9 * a for a in OPENINGS)),
    )


def points() -> tuple[dict[str, Any], ...]:
    rows = (("lowest", 240.0, 2.12, 96.0, 27.0), ("normal", 760.0, 2.98, 402.5, 56.4), ("highest", 1020.0, 4.0, 700.0, 73.0))
    return tuple(
        {
            "point": name,
            "flow": Number(flow, "m3/h"),
            "velocity": Number(velocity, "m/s"),
            "kv_needed": Number(kv, "m3/h", 0.9 * kv, 1.1 * kv),
            "opening": Number(opening, "deg", opening - 4, opening + 5),
            "pressure_drop": Number(flow**2 / kv**2 * 1e-1, "bar"),
            "sigma": Number(11.37, "-"),
            "noise": Number(None, "dB(A)"),
        }
        for name, flow, velocity, kv, opening in rows
    )


def dimensions(bore: float, holes: int) -> dict[str, Number]:
    share = {
        "face_to_face": 0.3, "disc_diameter": 1.005, "disc_edge_thickness": 0.05, "bore": 1.0, "shaft_diameter": 0.12, "body_outside": 1.3,
        "bolt_circle": 1.47, "hole_diameter": 0.115, "flange_outside": 1.7, "flange_thickness": 0.1, "centre_to_top": 1.2,
        "centre_to_bottom": 0.85, "operator_height": 0.6, "operator_length": 1.25, "pipe_bore": 1.03, "disc_swing": 0.96,
        "liner_thickness": 0.055, "square": 0.085,
    }  # fmt: skip
    return {**{k: Number(round(bore * v, 1), "mm") for k, v in share.items()}, "holes": Number(float(holes), "-")}


def findings(n: int) -> tuple[Finding, ...]:
    fast = Finding(
        "R046", "condition", "offered", f"Velocity {2.9 + n / 10:.2f} m/s is over 3.0 m/s for a lined body of this rating.", 2.9 + n / 10,
        3.0, "m/s", "common practice", "One size up, or the flow confirmed as a short-time maximum.",
    )  # fmt: skip
    steam = Finding(
        "R160", "stop", "asked", "Saturated steam at 148 °C is above 120 °C, the limit of EPDM.", 148.0, 120.0, "C", "ISO 4632-1"
    )
    told = Finding("R210", "advice", "both", "The standard cited is withdrawn; the present one is meant.", source="standards list")
    care = Finding("R157", "care", "offered", "Heavy valve: lift by the body.", remedy="Never by the operator.")
    return {"if": (fast, told, care, *((steam,) if n == 2 else ())), "no": (replace(steam, applies_to="both"),)}.get(VERDICTS[n], (told,))


QUESTIONS = (
    Question("oil", "Is the compressed air oil-free?", 0.42, "oil traces below 1 mg/m3"),
    Question("shutoff", "Which difference does the closed disc hold?", 0.2, "the highest pressure"),
    Question("p_min", "Can the line see a vacuum?", 0.61, ""),
    *(Question("remarks", f"Question of the sample, number {k}?", 0.01 * k, "as the enquiry has it") for k in range(1, 8)),
)


def steps() -> tuple[dict[str, Any], ...]:
    return (
        {
            "calculation": "cavitation-index",
            "formula": "sigma = (p1 - pv)/(p1 - p2)",
            "source": "ISA-RP75.23-1995",
            "inputs": {
                "p1": 601325.0,
                "p2": {"value": 5.713, "unit": "bar"},
                "pv": {"value": [2339.0, 2340.0, 2341.0], "unit": "Pa", "of": 57},
            },
            "results": {"sigma": Number(19.966, "-", 18.1, 21.3)},
        },
        {"calculation": "loss-from-kv", "formula": "", "source": "", "inputs": {"kv": 905.0, "bore": None}, "results": {"k": 1.61}},
    )


PLAN = (
    {"stage": "liner", "characteristic": "hardness", "method": "ISO 48-4", "acceptance": "70 ± 5 Shore A", "extent": "batch",
     "document": "EN 10204 3.1", "point": "R"},
    {"stage": "valve", "characteristic": "seat test, both sides", "method": "EN 12266-1 P12", "acceptance": "rate A", "extent": "each",
     "document": "EN 10204 3.1", "point": "W"},
)  # fmt: skip
TESTS = {
    "standard": "EN 12266-1",
    "shell": Number(24.0, "bar"),
    "seat": Number(17.6, "bar"),
    "shell_time": Number(120.0, "s"),
    "seat_time": Number(60.0, "s"),
    "plan": PLAN,
}
BOLTING = (
    {"what": "stud", "bolt": "M20", "length": 170.0, "number": 8, "nuts": 16, "washers": 16, "torque_oiled": 190.0, "torque_dry": 254.3,
     "note": "no gasket: the liner seals"},
)  # fmt: skip
LADDER = (
    Rung("W250-16-EP-1", "DN250, gear", False, {"torque": 2.4, "Kv": 2.9, "shaft": 1.9}, "More than needed: 31 % heavier."),
    Rung("W200-16-EP-1", "DN200, gear", True, {"torque": 1.55, "Kv": 1.29, "shaft": 1.42}),
    Rung("W150-16-EP-1", "DN150, gear", False, {"torque": 3.1, "Kv": 0.74, "shaft": 1.8}, "Kv too small at the highest flow."),
)


def item(n: int) -> Item:
    can = VERDICTS[n] in ("yes", "if")
    tags = {1: ("BV-1002A", "BV-1002B")}.get(n, (TAGS[n],) if TAGS[n] else ())
    return Item(
        n=n + 1,
        sheet="Valves",
        row=n + 5,
        tag=TAGS[n],
        tags=tags,
        quantity=len(tags) or 1,
        service=("pump discharge", "blower header", "filter outlet")[n % 3],
        medium=("sea water", "compressed air", "process water")[n % 3],
        as_asked="no" if n == 2 else VERDICTS[n],
        offered=VERDICTS[n],
        sentence={"no": "Saturated steam is no duty for a rubber-lined valve.", "ask": "Vacuum decides between the liner builds."}.get(
            VERDICTS[n], "The chosen build holds the duty with its margins."
        ),
        choice=choice(n) if can else None,
        other_family={"family": "triple_offset", "why": "A metal seat stands the heat.", "weakness": "not bubble-tight"}
        if VERDICTS[n] == "no"
        else None,
        numbers={
            "kv_full": Number(905.0, "m3/h", 742.0, 1086.0, "calculated"),
            "torque_required": Number(210.0, "N m", 126.0, 294.0, "calculated", "unseating"),
            "torque_available": Number(332.0, "N m", basis="invented"),
            "velocity": Number(2.98, "m/s"),
            "noise": Number(float("nan"), "dB(A)"),
        },
        points=points() if can else (),
        findings=findings(n),
        questions=QUESTIONS[n % 4 :] if VERDICTS[n] == "ask" else QUESTIONS[:1] if n % 3 == 1 else (),
        assumptions=(Assumption("ambient_max", "40 °C", "not said; house default"),),
        deviations=(Deviation("liner", "NBR", "EPDM", "Hot water above 80 °C ages NBR."),) if n in (2, 5) else (),
        asked={"medium": "sea water"},
        ladder=LADDER if n == 0 else (),
        curves=curves() if can else (),
        dimensions=dimensions(150 + 50 * (n % 4), 8 + 4 * (n % 3)),
        tests=TESTS if can else {},
        bolting=BOLTING if can and n != 3 else (),
        steps=steps() if can else (),
        duty={"p1": Number(5.0, "bar(g)"), "p_max": Number(6.0, "bar(g)"), "t_max": Number(40.0, "C"), "flow": Number(760.0, "m3/h")},
        sources=("EN 12266-1:2012", "IEC 60534-2-1:2011"),
    )


def items() -> list[Item]:
    """The twelve of them."""
    return [item(n) for n in range(len(TAGS))]


def many(count: int) -> list[Item]:
    """So many items that can be offered, unlike in number, tag and build."""
    base = item(1)
    return [
        replace(base, n=k + 1, row=k + 5, tag=f"XV-{k + 1:04d}", tags=(f"XV-{k + 1:04d}",), choice={**choice(k), "build": f"B-{k % 40}"})
        for k in range(count)
    ]
