"""The letter of questions: each asked once for all its items, in the order of its effect, seven a page at most."""

from collections.abc import Sequence
from typing import Any

from softseat.papers.frame import Frame
from softseat.papers.groups import gathered, grouped, which
from softseat.papers.lettering import valued
from softseat.papers.texts import clean, some, text, titled
from softseat.selection.item import Item, Question

A_PAGE = 7


def questions(frame: Frame, items: Sequence[Item]) -> dict[str, Any]:
    """The letter, cut into pages."""
    asked = ranked(items)
    cut = [asked[k : k + A_PAGE] for k in range(0, len(asked), A_PAGE)]
    pages = [
        {"range": text("questions.continued", first=p[0]["n"], last=p[-1]["n"], all=len(asked)) if len(cut) > 1 else "", "questions": p}
        for p in cut
    ]
    lead = text("questions.lead", questions=some(len(asked), "question")) if asked else text("questions.none")
    return frame.around("questions", lead=lead, pages=pages)


def ranked(items: Sequence[Item]) -> list[dict[str, Any]]:
    """Questions grouped over the items; the weight is the effect summed over the items that wait for the answer."""
    pairs = [(item, question) for item in items for question in item.questions]
    found = gathered(pairs, key_of)
    found.sort(key=lambda alike: -sum(q.effect or 0.0 for _, q in alike))
    return [_line(n, alike) for n, alike in enumerate(found, start=1)]


def numbered(items: Sequence[Item]) -> dict[tuple[str, str], int]:
    """The number that each question has in the letter, by its field and text."""
    return {(line["key"][0], line["key"][1]): line["n"] for line in ranked(items)}


def key_of(question: Question) -> tuple[str, str]:
    """Questions are one where field and text are the same."""
    return question.field, clean(question.text).casefold()


def _line(n: int, alike: Sequence[tuple[Item, Question]]) -> dict[str, Any]:
    first = alike[0][1]
    return {
        "n": n,
        "key": key_of(first),
        "field": titled(first.field),
        "text": first.text,
        "which": which([item for item, _ in alike]),
        "effect": _effect([q for _, q in alike]),
        "assumed": _assumed(alike) or text("questions.unassumed"),
    }


def _effect(alike: Sequence[Question]) -> str:
    shares = {round(100 * q.effect) for q in alike if q.effect is not None}
    if not shares or not max(shares):
        return ""
    return text("questions.effect" if len(shares) == 1 else "questions.effect.several", share=max(shares))


def _assumed(pairs: Sequence[tuple[Item, Question]]) -> str:
    """What is taken until the answer comes; by item where it differs."""
    different = grouped([(i, q) for i, q in pairs if clean(q.assumed)], lambda q: clean(q.assumed))
    said = [valued(q.assumed) if len(different) == 1 else f"{valued(q.assumed)} ({which(group)})" for q, group in different]
    return text("questions.assumed", assumed="; ".join(said)) if said else ""
