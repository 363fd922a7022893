"""Items with their questions weighed by what an answer would change; and how the maker's data are named beside them."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from softseat.maker.package import Maker
from softseat.selection.decide import Decision
from softseat.selection.effects import flips, ranked
from softseat.selection.item import Item
from softseat.sheet import Sheet

MOST_VARIED = 500  # items of which every question is varied; beyond, the order of the rules stands


def with_effects(
    sheet: Sheet, decision: Decision, maker: Maker, items: Sequence[Item], places: Iterable[int] | None = None
) -> tuple[Item, ...]:
    """The items with their questions ranked by effect and with what would turn the verdict.

    Parameters
    ----------
    places : iterable of int
        Which of them, counted from 0; none named: all. More than are varied at one time keep the order of the rules.
    """
    wanted = sorted(places) if places is not None else list(range(len(items)))
    if len(wanted) > MOST_VARIED:
        return tuple(items)
    asked = {n: items[n].questions for n in wanted}
    weighed = ranked(sheet, decision, maker, asked)
    turned = flips(sheet, decision, maker, asked)
    made = list(items)
    for n in wanted:
        made[n] = replace(items[n], questions=weighed[n], flips=turned.get(n, ()))
    return tuple(made)


def maker_words(known: Maker) -> dict[str, str]:
    """How the papers name the maker's data."""
    return {"name": known.name, "title": known.title, "invented": "yes" if known.invented else "no"}
