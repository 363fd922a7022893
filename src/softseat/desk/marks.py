"""How a verdict is shown: a shape, always with its word; and an item in six words."""

from collections import Counter
from collections.abc import Iterable, Sequence
from html import escape

from softseat.papers.groups import builds, pieces
from softseat.selection.item import Item

SIGNS = {"yes": "●", "if": "◐", "no": "✕", "ask": "?"}
ORDER = ("yes", "if", "no", "ask")
WORDS = 6


def verdict_sign(word: str, big: bool = False) -> str:
    """The shape and the word, as HTML."""
    return f'<span class="verdict{" big" if big else ""}"><span class="sign" aria-hidden="true">{SIGNS[word]}</span>{word}</span>'


def six_words(item: Item) -> str:
    """Why it is so, in about six words."""
    if item.offered == "ask":
        return _cut(item.questions[0].text) if item.questions else _first(item, ("query", "stop"))
    if item.offered == "no":
        return _first(item, ("stop", "query"))
    if item.offered == "if":
        return _first(item, ("condition",))
    c = item.choice or {}
    return f"{c.get('size', '')} {c.get('rating', '')} {str(c.get('body_style', '')).replace('_', '-')}, {c.get('liner', '')}".strip(" ,")


def _first(item: Item, severities: Sequence[str]) -> str:
    for severity in severities:
        for f in item.findings:
            if f.severity == severity and f.applies_to != "asked":
                return _cut(f.reason or f.text)
    return ""


def _cut(text: str) -> str:
    words = text.split()
    return " ".join(words[:WORDS]).rstrip(",;:.") + ("…" if len(words) > WORDS else "")


def counted(items: Iterable[Item]) -> dict[str, int]:
    """How many of each verdict as offered."""
    found = Counter(i.offered for i in items)
    return {word: found[word] for word in ORDER}


def asked_about(items: Iterable[Item]) -> list[tuple[str, str, list[int]]]:
    """Each question once: field, text, and the items that it touches; the widest first."""
    found: dict[tuple[str, str], list[int]] = {}
    for item in items:
        for q in item.questions:
            found.setdefault((q.field, q.text), []).append(item.n)
    return sorted(((f, t, ns) for (f, t), ns in found.items()), key=lambda q: -len(q[2]))


def build_list(items: Sequence[Item]) -> list[tuple[str, int, int]]:
    """Each build offered: its code, tags and pieces; the most pieces first."""
    return sorted(((b, len(group), pieces(group)) for b, group in builds(items)), key=lambda b: -b[2])


def least_sure(items: Sequence[Item], most: int = 8) -> list[tuple[Item, str]]:
    """Offered items that rest on the most assumptions, or stand nearest to a limit; with the reason in words."""
    ranked = []
    for item in items:
        if item.offered in ("yes", "if"):
            margin = item.numbers.get("operator_margin")
            tight = margin.value if margin is not None and margin.value is not None else None
            asked = [a for a in item.assumptions if any(q.field == a.field for q in item.questions)]
            near = tight is not None and tight < 1.1  # shown first, not a limit: the rules judge the margin
            ranked.append((-(len(asked) + 2 * near), item.n, item, _why(len(item.assumptions), len(asked), tight if near else None)))
    return [(item, why) for _, _, item, why in sorted(ranked, key=lambda r: r[:2])[:most]]


def _why(assumed: int, asked: int, tight: float | None) -> str:
    told = [f"{assumed} assumptions, {asked} of them asked for"] if assumed else []
    return "; ".join(told + ([f"operator {tight:.2f} times the high end of the torque"] if tight is not None else []))


def scroll(content: str, name: str) -> str:
    """What is long or wide stands in a window of its own, which the keys reach too."""
    return f'<div class="scroll" role="region" aria-label="{text(name)}" tabindex="0">{content}</div>'


def text(value: object) -> str:
    """Fit to stand in HTML."""
    return escape(str(value if value is not None else ""))
