"""Findings of one item, in words: which rule, on which sheet, the value, the limit, the source, the remedy."""

from collections.abc import Mapping

from softseat import tables
from softseat.register import CANNOT_SAY, HOLDS, RULES
from softseat.selection.decide import Decision
from softseat.selection.item import Finding
from softseat.selection.words import filled, told
from softseat.sheet import Sheet

SEVERITIES = ("stop", "query", "condition", "advice", "care")


def findings(decision: Decision, n: int) -> tuple[Finding, ...]:
    """What fired on the item as asked, as offered, or on both; the heaviest first."""
    rows = tables.index("rules", "id")
    known = decision.asked.known("medium_id")
    warm = decision.asked.known("t_max")
    found = []
    for id in RULES:
        asked, offered = decision.judged_asked[id][n], decision.judged_offered[id][n]
        unsure = CANNOT_SAY in (asked, offered)
        if unsure and not known[n] and _of_medium(RULES[id].needs):
            continue  # the medium itself is asked for: that one question stands for all of these
        if unsure and not warm[n] and {"t_min", "t_max"} & set(RULES[id].needs):
            continue  # so is the temperature
        on = _where(id, int(asked), int(offered), rows[id])
        if on is None:
            continue
        answer, applies_to = on
        sheet = decision.offered if applies_to == "offered" else decision.asked
        found.append(_finding(id, rows[id], sheet, n, answer, applies_to))
    found += [
        _finding(rule, {**rows[rule], "severity": "condition"}, decision.offered, n, HOLDS, "offered", f"Overruled by {by} ({reason}): ")
        for item, rule, reason, by in decision.overruled
        if item == n
    ]
    return tuple(sorted(found, key=lambda f: (SEVERITIES.index(f.severity), f.rule)))


def _of_medium(needs: tuple[str, ...]) -> bool:
    return any(n.startswith("is_") or n in ("liner_letter", "disc_letter", "flammable", "named_attack") for n in needs)


def _where(id: str, asked: int, offered: int, row: Mapping[str, str]) -> tuple[int, str] | None:
    for answer in (HOLDS, CANNOT_SAY):
        if answer == CANNOT_SAY and row["severity"] != "stop":
            continue
        if asked == answer and offered == answer:
            return answer, "both"
        if asked == answer and offered != HOLDS:
            return answer, "asked"
        if offered == answer and asked != HOLDS:
            return answer, "offered"
        if asked == answer:
            return answer, "asked"
        if offered == answer:
            return answer, "offered"
    return None


def _finding(id: str, row: Mapping[str, str], sheet: Sheet, n: int, answer: int, applies_to: str, before: str = "") -> Finding:
    rule = RULES[id]
    text = before + filled(rule.says, sheet, n, rule.needs, rule.worst)
    quote = _quote(sheet, n, rule.needs)
    severity = row["severity"]
    if answer == CANNOT_SAY:
        # a stop that cannot be ruled out is a question: an answer comes first
        severity, text = "query", f"Cannot be ruled out: {text}"
    value = next((told(sheet, name, n, rule.worst) for name in rule.needs if f"{{{name}}}" in rule.says), None)
    return Finding(
        rule=id,
        severity=severity,
        applies_to=applies_to,
        text=f'{text} ("{quote}")' if quote else text,
        value=value,
        limit=None,
        source=row["source"],
        remedy=row["remedy"],
        reason=row["reason"],
    )


def _quote(sheet: Sheet, n: int, needs: tuple[str, ...]) -> str:
    """The buyer's own words where the fact stands in free words."""
    for name in needs:
        cell = sheet.origin.get((n, name))
        flagged = name in sheet and sheet[name].dtype.kind == "b" and bool(sheet[name][n])
        if cell is not None and flagged:
            return cell.text
    return ""


def weight(decision: Decision, n: int) -> int:
    """How many findings of weight stand on an item (stop, query, condition)."""
    return sum(f.severity in ("stop", "query", "condition") for f in findings(decision, n))
