"""Items that share a sentence are named once: "3–40, 52"."""

from collections.abc import Callable, Hashable, Iterable, Sequence
from typing import TypeVar

from softseat.papers.texts import clean, short, text
from softseat.selection.item import Item

T = TypeVar("T")
FEW = 3  # items that are named by tag and not by number
RUNS = 24  # runs of numbers that a line of print still bears


def ranges(numbers: Iterable[int]) -> str:
    """Numbers in order, runs by their ends."""
    runs: list[list[int]] = []
    for n in sorted(set(numbers)):
        if runs and n == runs[-1][1] + 1:
            runs[-1][1] = n
        else:
            runs.append([n, n])
    said = [str(a) if a == b else f"{a}–{b}" if b > a + 1 else f"{a}, {b}" for a, b in runs]
    if len(said) > RUNS:
        rest = sum(b - a + 1 for a, b in runs[RUNS:])
        return f"{', '.join(said[:RUNS])} {text('which.rest', n=rest)}"
    return ", ".join(said)


def which(items: Sequence[Item]) -> str:
    """The items by number, with their tags where they are few."""
    numbers = ranges(i.n for i in items)
    if len({i.n for i in items}) > FEW:
        return text("which.many", numbers=numbers)
    tags = ", ".join(dict.fromkeys(short(tag_of(i), 40) for i in items))
    return text("which.one" if len({i.n for i in items}) == 1 else "which.few", numbers=numbers, tags=tags)


def tag_of(item: Item) -> str:
    """The tag as typed, or the row where there is none."""
    return clean(item.tag) or text("tag.none", n=item.n)


def gathered(pairs: Iterable[tuple[Item, T]], key: Callable[[T], Hashable]) -> list[list[tuple[Item, T]]]:
    """Pairs whose thing has the same key, together, in the order of first sight."""
    found: dict[Hashable, list[tuple[Item, T]]] = {}
    for item, thing in pairs:
        found.setdefault(key(thing), []).append((item, thing))
    return list(found.values())


def grouped(pairs: Iterable[tuple[Item, T]], key: Callable[[T], Hashable]) -> list[tuple[T, list[Item]]]:
    """Each different thing once, with the items that share it, in the order of first sight."""
    return [(alike[0][1], [item for item, _ in alike]) for alike in gathered(pairs, key)]


def tags_of(items: Iterable[Item]) -> list[str]:
    """Every tag of these items once, as spelled out."""
    return list(dict.fromkeys(t for i in items for t in ([clean(t) for t in i.tags] or [tag_of(i)])))


def offered(items: Iterable[Item]) -> list[Item]:
    """The items that can be offered: a build stands, under yes or if."""
    return [i for i in items if i.offered in ("yes", "if") and i.choice]


def build_of(item: Item) -> str:
    """The code of the build, or the item's own tag where the maker gave none."""
    return clean((item.choice or {}).get("build")) or tag_of(item)


def builds(items: Iterable[Item]) -> list[tuple[str, list[Item]]]:
    """Distinct builds that are offered, each with its items, in the order of first sight."""
    return [(build_of(first), group) for first, group in grouped(((i, i) for i in offered(items)), build_of)]


def duty_of(item: Item) -> str:
    """Service and medium in one line, a word that stands in both once."""
    service, medium = clean(item.service), clean(item.medium)
    return " · ".join(t for t in (service, medium if medium.casefold() != service.casefold() else "") if t)


def pieces(items: Iterable[Item]) -> int:
    """Valves in these items."""
    return sum(max(int(i.quantity or 0), 0) for i in items)
