"""The rulebook: every rule with its severity, reason, remedy, source, and whether it is evaluated."""

import softseat.selection.rules  # noqa: F401 (enters the rules)
from softseat import tables
from softseat.register import RULES


def rulebook() -> list[dict[str, str]]:
    """One row a rule, in the order of the rule table."""
    return [
        {
            "id": row["id"],
            "area": row["area"],
            "severity": row["severity"],
            "evaluated": "yes" if row["id"] in RULES else "not evaluated",
            "condition": row["condition"],
            "reason": row["reason"],
            "remedy": row["remedy"],
            "source": row["source"],
            "reads": " ".join(RULES[row["id"]].needs) if row["id"] in RULES else "",
        }
        for row in tables.read("rules")
    ]
