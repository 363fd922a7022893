"""One item in plain words, for the telephone and the terminal."""

from softseat.selection.item import Item

SHAPES = {"yes": "●", "if": "◐", "no": "✕", "ask": "?"}
CAUTION = "Selection aid; to be checked by a competent engineer; local codes and licensed practice rule."


def phone(item: Item) -> str:
    """Verdict, build, what was assumed, and the one question to ask while the caller is still on the line."""
    lines = [f"{SHAPES[item.offered]} {item.offered.upper()}  {item.sentence}"]
    if item.choice:
        c = item.choice
        lines.append(
            f"  build       {c['build']}: {c['size']} {c['rating']} {c['body_style'].replace('_', '-')}, {c['liner_grade']} liner, "
            f"disc {c['disc']}, shaft {c['shaft']}, {c['operator'].replace('_', ' ')}, {c['drilling']}"
        )
    for name, label in (("velocity", "velocity"), ("kv_full", "Kv full open"), ("torque_required", "torque")):
        if (found := item.numbers.get(name)) is not None:
            band = f" ({found.low:g} to {found.high:g})" if found.low is not None and found.high is not None else ""
            lines.append(f"  {label:11} {found.value:g} {found.unit}{band}")
    for finding in item.findings:
        if finding.severity in ("stop", "query", "condition"):
            where = "" if finding.applies_to == "both" else f" ({finding.applies_to})"
            lines.append(f"  {finding.severity:11} {finding.text} [{finding.rule}]{where}")
    lines += [f"  assumed     {a.field.replace('_', ' ')} {a.value}: {a.reason}" for a in item.assumptions]
    if item.flips:
        lines.append(f"  would turn  {'; '.join(item.flips[:3])}")
    if item.other_family:
        lines.append(f"  look at     {item.other_family['family']}")
    deciding = [q for q in item.questions if q.effect is None or q.effect > 0]
    lines.append(f"  ASK NOW     {deciding[0].text}" if deciding else "  ASK NOW     nothing: no answer that is still open changes this")
    lines.append(f"  {CAUTION}")
    return "\n".join(lines)
