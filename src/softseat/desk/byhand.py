"""Decisions by hand: a stop that a person answers for becomes a condition with his name; any other finding has his words beside it."""

import dataclasses
from collections.abc import Iterable, Sequence

from softseat.enquiry.reader import Enquiry
from softseat.register import RULES
from softseat.selection.decide import Decision
from softseat.selection.item import Finding, Item
from softseat.selection.judge import severity
from softseat.selection.overrule import Override, overrule
from softseat.store.overrides import Overridden


def overruled(decision: Decision, read: Enquiry, standing: Sequence[Overridden]) -> Decision:
    """The decision with the stops taken back that persons answer for."""
    numbers = {(r.sheet, r.row): r.n for r in read.rows}
    told = [
        Override(numbers[o.place], o.rule, f"{o.decision}; {o.reason}", o.who)
        for o in standing
        if not o.withdrawn and is_stop(o.rule) and o.place in numbers
    ]
    return overrule(decision, told, [r.n for r in read.rows])


def is_stop(rule: str) -> bool:
    """True for a rule that stops an offer: one that can be overruled."""
    return rule in RULES and severity()[rule] == "stop"


def with_overrides(item: Item, standing: Iterable[Overridden]) -> Item:
    """The item with what persons decided about it; beside a finding that is no stop the verdict stays what it is."""
    own = [o for o in standing if o.place == (item.sheet, item.row) and not o.withdrawn]
    if not own:
        return item
    findings = [_finding(o) for o in own if not is_stop(o.rule)]
    last = own[-1]
    sentence = f"{item.sentence.rstrip('.')}. Decided by hand by {last.who}, {last.when[:10]}: {last.decision}"
    return dataclasses.replace(item, findings=(*findings, *item.findings), sentence=sentence)


def _finding(o: Overridden) -> Finding:
    return Finding(
        rule="by hand",
        severity="condition",
        applies_to="offered",
        text=f"Decided by {o.who} against {o.rule or 'the verdict'}: {o.decision}",
        source=f"decision of {o.who}, {o.when[:10]}",
        remedy=f"Reason given: {o.reason}",
        reason=o.reason,
    )
