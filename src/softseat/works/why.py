"""Why a valve gives trouble: six questions, the causes that fit them best, and the check that tells one from the next."""

import functools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from softseat.errors import InputError, UnknownName
from softseat.selection.item import Item
from softseat.tables import Row, read
from softseat.works.practice import practice

Answers = Mapping[str, str | Sequence[str]]


@dataclass(frozen=True, slots=True)
class Cause:
    """One cause of the catalogue. ``rank_weight`` orders causes; it is no probability: the catalogue holds cases, not counts."""

    id: str
    failure: str
    symptom: str
    rank_weight: float  # share of the weight of all causes
    fits: tuple[str, ...]  # questions whose answer fits
    against: tuple[str, ...]  # questions whose answer does not, and a part that the valve has not
    check: str
    apart: str  # what tells it from the next
    cure: str
    caught_by: str  # rules, and words, that would have caught it in the offer
    warned: tuple[str, ...]  # rules of this item's offer that did
    source: str


@functools.cache
def questions() -> dict[str, dict[str, str]]:
    """The six questions, each with its answers and what they mean; the text of the question stands under ""."""
    found: dict[str, dict[str, str]] = {}
    for row in read("works_questions"):
        found.setdefault(row["question"], {"": row["text"]})[row["answer"]] = row["means"]
    return found


def why(answers: Answers, item: Item | None = None, most: int = 5) -> tuple[Cause, ...]:
    """Causes ranked by how well the answers fit.

    Parameters
    ----------
    answers : mapping
        question -> answer, or several answers; a question that is not answered tells nothing.
    item : Item
        The valve as it was offered: its parts rule causes out, its findings point to them.
    most : int
        How many are wanted.

    Raises
    ------
    UnknownName
        Where a question or an answer is not known.
    InputError
        Where nothing is answered.

    Notes
    -----
    A cause shows each answer it lists alike, in ``why_sure`` of its cases, and any answer alike in the rest; a question it says
    nothing of leaves it where it is. Answers count as independent.
    """
    asked = _checked(answers)
    rows = read("failures")
    weights = {row["id"]: math.exp(sum(_fit(row, q, a) for q, a in asked.items()) + _of_item(row, item)) for row in rows}
    total = sum(weights.values())
    ordered = sorted(rows, key=lambda row: -weights[row["id"]])
    return tuple(
        _cause(row, weights[row["id"]] / total, asked, item, ordered[n + 1] if n + 1 < len(ordered) else None)
        for n, row in enumerate(ordered[:most])
    )


def _checked(answers: Answers) -> dict[str, tuple[str, ...]]:
    known = questions()
    found = {}
    for question, answer in answers.items():
        if question not in known:
            raise UnknownName(f"question {question!r} is not known; known are {', '.join(known)}")
        given = (answer,) if isinstance(answer, str) else tuple(answer)
        given = tuple(a for a in given if a)
        for one in given:
            if one not in known[question]:
                allowed = ", ".join(a for a in known[question] if a)
                raise UnknownName(f"{question}: answer {one!r} is not known; known are {allowed}")
        if given:
            found[question] = given
    if not found:
        raise InputError(f"nothing is answered; the questions are {', '.join(known)}")
    return found


def _fit(row: Row, question: str, given: tuple[str, ...]) -> float:
    """Logarithm of how often this cause shows these answers: of several the one that fits best counts."""
    count = len(questions()[question]) - 1
    listed = row[question].split()
    if not listed:
        return -math.log(count)
    sure = practice("why_sure")
    rest = (1 - sure) / count
    return math.log(rest + (sure / len(listed) if set(given) & set(listed) else 0.0))


def _of_item(row: Row, item: Item | None) -> float:
    if item is None:
        return 0.0
    weight = math.log(practice("why_lacks")) if _lacks(row, item) else 0.0
    return weight + (math.log(practice("why_rule")) if _warned(row, item) else 0.0)


def _lacks(row: Row, item: Item) -> str:
    """The part that this cause needs and the valve has not; "" where it has it or nothing is known."""
    part, _, allowed = row["needs"].partition("=")
    have = str((item.choice or {}).get(part, "")) if part else ""
    return f"{part.replace('_', ' ')} is {have}" if have and have not in allowed.split("|") else ""


def _warned(row: Row, item: Item) -> tuple[str, ...]:
    rules = row["what_would_have_caught_it"].replace(",", " ").replace(";", " ").split()
    return tuple(dict.fromkeys(f.rule for f in item.findings if f.rule in rules and f.severity != "care"))


def _cause(row: Row, share: float, asked: Mapping[str, tuple[str, ...]], item: Item | None, after: Row | None) -> Cause:
    fits = tuple(q for q, given in asked.items() if set(given) & set(row[q].split()))
    against = tuple(q for q, given in asked.items() if row[q].split() and not set(given) & set(row[q].split()))
    lacks = _lacks(row, item) if item is not None else ""
    return Cause(
        id=row["id"],
        failure=row["failure"],
        symptom=row["symptom"],
        rank_weight=share,
        fits=fits,
        against=(*against, lacks) if lacks else against,
        check=row["check"],
        apart=_apart(row, after, asked) if after is not None else "",
        cure=row["cure"],
        caught_by=row["what_would_have_caught_it"],
        warned=_warned(row, item) if item is not None else (),
        source=row["source"],
    )


def _apart(row: Row, after: Row, asked: Mapping[str, tuple[str, ...]]) -> str:
    """What speaks for this cause and not for the next: the check, and a question that is still open and parts them."""
    known = questions()
    open_ = [q for q in known if q not in asked and row[q] and after[q] and not set(row[q].split()) & set(after[q].split())]
    ask = f" Ask too: {known[open_[0]][''].lower()}" if open_ else ""
    return f"{row['check']}. If instead: {after['check'][:1].lower()}{after['check'][1:]}, it is the next ({after['id']}).{ask}"


def report_content(
    answers: Answers, causes: Sequence[Cause], item: Item | None = None, words: Mapping[str, str] | None = None
) -> dict[str, Any]:
    """What a site report says, for ``papers.report``; without answers it is the blank form.

    Parameters
    ----------
    answers : mapping
        As given to ``why``.
    causes : sequence of Cause
        Ranked.
    item : Item
        The valve.
    words : mapping
        Free texts: site, date, reported_by, serial, remarks.
    """
    given = {q: {answers[q]} if isinstance(answers.get(q), str) else set(answers.get(q, ())) for q in questions()}
    asked = [
        {"question": a[""], "answers": [{"text": means, "given": word in given[q]} for word, means in a.items() if word]}
        for q, a in questions().items()
    ]
    told = [
        {
            "n": n,
            "id": c.id,
            "failure": c.failure,
            "check": c.check,
            "apart": c.apart,
            "cure": c.cure,
            "against": ", ".join(c.against),
            "warned": ", ".join(c.warned),
            "source": c.source,
        }
        for n, c in enumerate(causes, start=1)
    ]
    choice = (item.choice or {}) if item is not None else {}
    valve = {k: str(choice.get(k, "")) for k in ("build", "size", "rating", "liner", "disc", "operator")}
    return {"questions": asked, "causes": told, "valve": valve, "tag": item.tag if item is not None else "", "words": dict(words or {})}
