"""One item in words, numbers and steps, by the same functions that decided; nothing is computed for paper alone."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from softseat import tables
from softseat.enquiry.reader import Enquiry
from softseat.maker.package import Maker
from softseat.names import names
from softseat.selection.ask import assumptions, questions
from softseat.selection.choice import choice, deviations, ladder
from softseat.selection.curves import curves
from softseat.selection.decide import Decision
from softseat.selection.findings import findings
from softseat.selection.item import Finding, Item, Number
from softseat.selection.points import points
from softseat.selection.prove import bolting, dimensions, steps, tests
from softseat.selection.surge_run import surge_answer
from softseat.selection.verdict import WORDS
from softseat.selection.words import number
from softseat.sheet import GIVEN, Sheet

NUMBERS = (
    "velocity", "kv_full", "kv_needed", "torque_required", "torque_unseating", "shaft_limit", "operator_margin", "valve_rating", "bore_gap",
    "critical_time", "surge_pressure", "mach",
)  # fmt: skip
DUTY = (
    "flow", "flow_min", "flow_max", "mass_flow", "p1", "p2", "p_max", "p_min", "drop", "shutoff", "t_min", "t_normal", "t_max",
    "t_excursion",
    "concentration", "density", "viscosity", "pv", "cycles", "stroke_time", "pipe_length", "pipe_length_behind",
    "pump_head", "shutoff_head",
)  # fmt: skip


def explain_all(enquiry: Enquiry, decision: Decision, maker: Maker, *, steps_too: bool = False) -> Iterator[Item]:
    """Every item of the enquiry explained, in file order."""
    why, cells = _grouped(decision)
    for n in range(len(decision.asked)):
        yield explain(enquiry, decision, maker, n, why[n], cells[n], steps_too=steps_too)


def _grouped(decision: Decision) -> tuple[dict[int, dict[str, str]], dict[int, dict[str, Any]]]:
    why: dict[int, dict[str, str]] = defaultdict(dict)
    cells: dict[int, dict[str, Any]] = defaultdict(dict)
    for (n, name), reason in decision.asked.why.items():
        why[n][name] = reason
    for (n, name), cell in decision.asked.origin.items():
        cells[n][name] = cell
    return why, cells


def explain(
    enquiry: Enquiry,
    decision: Decision,
    maker: Maker,
    n: int,
    why: dict[str, str],
    cells: dict[str, Any],
    *,
    steps_too: bool = True,
) -> Item:
    """The n-th item: findings, questions, build, numbers, curves, drawing figures, calculation sheet."""
    asked, offered = decision.asked, decision.offered
    row = enquiry.rows[n]
    as_asked, as_offered = str(WORDS[decision.as_asked[n]]), str(WORDS[decision.as_offered[n]])
    fired = findings(decision, n)
    asks = questions(decision, n)
    built = None if as_offered == "no" or not _complete(offered, n) else choice(offered, n)
    return Item(
        n=row.n,
        sheet=row.sheet,
        row=row.row,
        tag=row.tag,
        tags=tuple(row.tags),
        quantity=int(row.quantity),
        service=str(asked["service"][n]),
        medium=str(asked["medium"][n]),
        as_asked=as_asked,
        offered=as_offered,
        sentence=sentence(as_offered, as_asked, fired, built, asks),
        choice=built,
        other_family=other_family(fired) if as_offered == "no" else None,
        points=points(offered if built else asked, n),
        findings=fired,
        questions=asks,
        assumptions=assumptions(asked, n, why),
        **_typed(cells),
        duty=_duty(asked, n),
        sources=_sources(fired),
        **(_of_build(decision, maker, n, steps_too) if built else {"numbers": _few(asked, n)}),
    )


def _typed(cells: dict[str, Any]) -> dict[str, Any]:
    """What the buyer typed, and where it stands."""
    known = {name: c for name, c in cells.items() if name in names()}
    return {
        "origins": {name: {"sheet": c.sheet, "row": c.row, "column": c.column, "text": c.text} for name, c in known.items()},
        "asked": {name: c.text for name, c in known.items() if c.text},
    }


def _of_build(decision: Decision, maker: Maker, n: int, steps_too: bool) -> dict[str, Any]:
    """What only an offered build has."""
    offered = decision.offered
    answer = surge_answer(decision.asked, n)
    lines = tuple(replace(c, along=a) for a, cs in (("time", answer.history), ("way", answer.envelope)) for c in cs) if answer else ()
    return {
        "numbers": {k: v for k in NUMBERS if (v := number(offered, k, n)) is not None} | (answer.numbers if answer else {}),
        "surge": answer.sentence if answer else "",
        "deviations": deviations(decision, n),
        "ladder": ladder(decision, n),
        "curves": curves(decision, n) + lines,
        "dimensions": dimensions(offered, maker, n),
        "tests": tests(offered, n),
        "bolting": bolting(offered, n),
        "steps": steps(offered, maker, n) if steps_too else (),
    }


def _complete(offered: Sheet, n: int) -> bool:
    return bool(offered["valve_row"][n] >= 0) and all(str(offered[p][n]) for p in ("liner", "disc", "body", "body_style"))


def _few(asked: Sheet, n: int) -> dict[str, Number]:
    found = number(asked, "velocity", n)
    return {"velocity": found} if found else {}


def _duty(asked: Sheet, n: int) -> dict[str, Number]:
    duty = {}
    for name in DUTY:
        basis = "given" if asked.state[name][n] == GIVEN else "assumed" if (n, name) in asked.why else "calculated"
        if (value := number(asked, name, n, basis)) is not None:
            duty[name] = value
    return duty


def _sources(fired: tuple[Finding, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(f.source for f in fired if f.severity in ("stop", "query", "condition")))


def sentence(offered: str, asked: str, fired: tuple[Finding, ...], built: dict[str, Any] | None, asks: tuple[Any, ...]) -> str:
    """The verdict in one sentence."""
    heavy = [f for f in fired if f.severity in ("stop", "query") and f.applies_to != "asked"]
    if offered == "no":
        return f"Not offered: {_lower(heavy[0].text)}" if heavy else "Not offered."
    if offered == "ask":
        return f"An answer comes first: {asks[0].text}" if asks else f"An answer comes first: {_lower(heavy[0].text) if heavy else ''}"
    what = f"{built['size']} {built['rating']} {built['body_style'].replace('_', '-')}, {built['liner']} liner" if built else "a build"
    if asked == "no":
        why = next((f.text for f in fired if f.severity == "stop" and f.applies_to == "asked"), "")
        start = f"Not as asked ({_lower(why).rstrip('.')}); offered"
    else:
        start = "Offered"
    if offered == "if":
        count = sum(f.severity == "condition" and f.applies_to != "asked" for f in fired)
        return f"{start} as {what}, on {count} condition{'s' if count != 1 else ''}."
    return f"{start} as {what}."


def _lower(text: str) -> str:
    """A sentence inside another: its first letter small, unless it begins with a code or a number."""
    return text[:1].lower() + text[1:] if text[:2].istitle() or text[1:2].islower() else text


def other_family(fired: tuple[Finding, ...]) -> dict[str, str] | None:
    """Which other kind of valve to look at, from the rules that stopped the item."""
    by_rule = tables.index("family_for_rule", "rule")
    families = tables.index("families", "key")
    for finding in fired:
        if finding.severity != "stop" or finding.applies_to == "asked" or finding.rule not in by_rule:
            continue
        keys = by_rule[finding.rule]["families"].split()
        if keys:
            first = families[keys[0]]
            others = ", ".join(families[k]["family"].split(",")[0] for k in keys[1:3] if k in families)
            return {
                "family": first["family"],
                "why": f"{finding.rule}: {by_rule[finding.rule]['when_and_why']}",
                "also": others,
                "ask": first["ask"],
                "weakness": first["weakness_to_say"],
            }
    return None
