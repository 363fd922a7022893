"""The registers as text for a terminal: tables, lists of calculations, short numbers."""

import csv
import io
import json
from typing import Any


def tabulated(rows: list[dict[str, str]], format: str, shown: tuple[str, ...]) -> str:
    """Rows as a table of the columns ``shown``, or whole as json or csv."""
    if format == "json":
        return json.dumps(rows, ensure_ascii=False, indent=1)
    if format == "csv":
        text = io.StringIO()
        writer = csv.DictWriter(text, rows[0].keys(), lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)
        return text.getvalue().rstrip("\n")
    present = [s for s in shown if s in rows[0]]
    widths = {s: min(60, max(len(s), *(len(r[s]) for r in rows))) for s in present}
    lines = ["  ".join(s.ljust(widths[s]) for s in present)]
    lines += ["  ".join(r[s][: widths[s]].ljust(widths[s]) for s in present).rstrip() for r in rows]
    return "\n".join(lines)


def calculation_list(format: str) -> str:
    """Every calculation: inputs, outputs, units, source, an example."""
    from softseat.calculator import calculations, described

    found = calculations().values()
    if format == "json":
        return json.dumps([described(c) for c in found], ensure_ascii=False, indent=1)
    lines = []
    for c in found:
        inputs = ", ".join((f"[{e.name}]" if e.optional else e.name) + (f" ({e.unit})" if e.unit else "") for e in c.inputs)
        outputs = ", ".join(e.name + (f" ({e.unit})" if e.unit else "") for e in c.outputs)
        lines += [f"{c.name}: {c.title}", f"  in   {inputs}", f"  out  {outputs}", f"  from {c.source}"]
        if c.example:
            lines.append(f"  e.g. {json.dumps(dict(c.example), ensure_ascii=False)}")
    return "\n".join(lines)


def brief(value: Any) -> str:
    """A number to seven digits, anything else as it is."""
    return f"{value:.7g}" if isinstance(value, float) else str(value)
