"""The inspection and test plan of a build: the lines that its liner, disc, coat, body and duty call for."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from softseat.errors import UnknownName
from softseat.tables import Row, read
from softseat.tables.nominal import listed


@dataclass(frozen=True, slots=True)
class PlanLine:
    """One line of the plan, in words."""

    stage: str
    characteristic: str
    method: str
    acceptance: str
    extent: str  # type, batch, sample, each, order
    point: str  # default: H hold, W witness, R review
    document: str
    source: str
    certainty: str


class _Ordered(dict[str, str]):
    """What the item does not say stands as ordered."""

    def __missing__(self, key: str) -> str:
        return "as ordered"


def words_of_plan() -> tuple[str, ...]:
    """Every word that a build may be described with."""
    return tuple(dict.fromkeys(word.lstrip("!") for row in read("inspection_plan") for word in row["when"].split()))


def _applies(row: Row, build: Collection[str]) -> bool:
    return all((word[1:] not in build) if word.startswith("!") else (word in build) for word in row["when"].split())


def _line(row: Row, values: Mapping[str, str]) -> PlanLine:
    filled = _Ordered(values)
    method, acceptance = (row[head].format_map(filled) for head in ("method", "acceptance"))
    told = row["stage"], row["characteristic"], method, acceptance
    return PlanLine(*told, row["extent"], row["point"], row["document"], row["source"], row["certainty"])


def inspection_plan(build: Collection[str], values: Mapping[str, str] | None = None) -> tuple[PlanLine, ...]:
    """Lines of the plan in the order of manufacture.

    Parameters
    ----------
    build : str
        Words that are true of the build and its duty: see ``words_of_plan``.
    values : str
        What the item fills in, as shown to people: standard, shell, seat, shell_time, seat_time, leakage, holiday, coat.

    Raises
    ------
    UnknownName
        Where a word is none of the table's: a line would be missed in silence.
    """
    stray = sorted(set(build) - set(words_of_plan()))
    if stray:
        raise UnknownName(f"build {listed(stray)} is not known to the inspection plan; known are {listed(words_of_plan())}")
    return tuple(_line(row, values or {}) for row in read("inspection_plan") if _applies(row, build))
