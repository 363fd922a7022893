"""The builds that were weighed, as one short table: what is offered with its margins, the others by why they are not it."""

from collections.abc import Sequence
from typing import Any

from softseat.papers.figures import figure, known
from softseat.papers.texts import clean, text, titled
from softseat.selection.item import Rung

WIDEST = 3.0  # a margin bar ends here; more is only "plenty"


def ladder(rungs: Sequence[Rung]) -> list[dict[str, Any]]:
    """One entry a part ("liner: EPDM", "liner: NBR" ...); rungs of whole builds are entries of their own."""
    parts: dict[str, list[Rung]] = {}
    for rung in rungs:
        part, colon, _ = rung.build.partition(": ")
        parts.setdefault(part if colon else "", []).append(rung)
    entries = []
    for part, held in parts.items():
        entries += [_entry(part, held)] if part else [_entry("", [r]) for r in held]
    return entries


def _entry(part: str, held: Sequence[Rung]) -> dict[str, Any]:
    first = next((r for r in held if r.chosen), held[0])
    chosen = first.chosen
    others = [r for r in held if r is not first] if part and chosen else list(held) if part else []
    return {
        "part": titled(part) if part else "",
        "name": _name(first) if chosen or not part else text("none"),
        "chosen": chosen,
        "margins": [[titled(k), figure(v), min(max(v, 0.0), WIDEST) / WIDEST] for k, v in first.margins.items() if known(v)],
        "just": 1 / WIDEST,
        "why": _others(others) if part else [clean(first.why_not)] if clean(first.why_not) else [],
    }


def _name(rung: Rung) -> str:
    code = rung.build.partition(": ")[2] or rung.build
    said = clean(rung.text)
    return clean(code) if not said or said.casefold() in clean(code).casefold() else f"{clean(code)}, {said}"


def _others(rungs: Sequence[Rung]) -> list[str]:
    """Those that share a reason in one line, the refused before those that would have done."""
    shared: dict[str, list[str]] = {}
    for rung in rungs:
        shared.setdefault(clean(rung.why_not), []).append(_name(rung))
    return [f"{', '.join(named)}: {why}" if why else ", ".join(named) for why, named in shared.items()]
