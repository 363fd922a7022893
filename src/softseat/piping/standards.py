"""Standards as cited in specifications: what stands in their place, and the sentence for the deviations."""

import functools
import re
from dataclasses import dataclass

from softseat.tables import Row, index, read

_GONE = "withdrawn", "superseded", "renamed", "replaced", "repealed", "obsolescent"


@dataclass(frozen=True, slots=True)
class Citation:
    """One standard met in a text. The sentence may hold {x} where the item's own value goes in."""

    text: str  # as written
    cited: str  # as the table has it
    title: str
    area: str  # drilling, length, test, product, rubber, material, coating, operator, paper, data
    status: str
    superseded: bool
    present: str
    changed: str
    sentence: str
    certainty: str


@functools.cache
def _patterns() -> tuple[tuple[re.Pattern[str], Row], ...]:
    rows = index("standards", "cited")
    return tuple(
        (re.compile(rf"(?<![\w.])(?:{p['pattern'].replace(' ', '[ -]*')})(?!\d)", re.I), rows[p["cited"]]) for p in read("standards_cited")
    )


def _citation(text: str, row: Row) -> Citation:
    changes = (row[f"changed_{what}"] for what in ("drilling", "length", "tests", "other"))
    return Citation(
        text.strip(" -"),
        row["cited"],
        row["title_short"],
        row["area"],
        row["status"],
        any(word in row["status"] for word in _GONE),
        row["present"],
        "; ".join(c for c in changes if c != "-"),
        row["write_under_deviations"],
        row["certainty"],
    )


def citations(text: str) -> tuple[Citation, ...]:
    """Every standard of the table that a text names, in the order of the text, each once.

    Parameters
    ----------
    text : str
        A specification, a remark, a cell.
    """
    met = [(found.start(), _citation(found.group(), row)) for pattern, row in _patterns() if (found := pattern.search(text))]
    return tuple(citation for _, citation in sorted(met, key=lambda m: m[0]))


def superseded(text: str) -> tuple[Citation, ...]:
    """Of the standards that a text names, those that another has replaced.

    Parameters
    ----------
    text : str
        A specification, a remark, a cell.
    """
    return tuple(c for c in citations(text) if c.superseded)
