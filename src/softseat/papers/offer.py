"""The offer: one page that says it all, then the lines behind it."""

import re
from collections.abc import Sequence
from typing import Any

from softseat.papers.figures import aligned, figure, known
from softseat.papers.findings import by_rule, of_asked, of_offer, told
from softseat.papers.frame import Frame
from softseat.papers.groups import builds, duty_of, gathered, grouped, offered, pieces, ranges, tag_of, which
from softseat.papers.lettering import ended, opened, reasoned, valued
from softseat.papers.questions import key_of, numbered, ranked
from softseat.papers.texts import clean, short, some, text, texts, titled, word
from softseat.selection.item import Item

VERDICTS = ("yes", "if", "no", "ask")
STANDING = 5  # lines of each kind that the first page holds
LONGEST_TAG = 72  # the datasheet has the whole of it


def offer(frame: Frame, items: Sequence[Item]) -> dict[str, Any]:
    """Everything that the offer prints, as PDF and as the letter for the office."""
    content = {
        "counts": [[v, *(sum(getattr(i, side) == v for i in items) for side in ("as_asked", "offered"))] for v in VERDICTS],
        "lead": _lead(items),
        "totals": _totals(offered(items)),
        "items": _rows(items),
        "conditions": by_rule([i for i in items if i.offered != "no"], "condition"),
        "deviations": _deviations(items),
        "assumptions": _assumptions(items),
        "advice": by_rule([i for i in items if i.offered != "no"], "advice"),
        "exclusions": texts("exclusion."),
        "refused": [_refusal(i) for i in items if i.offered == "no"],
        "open": _waiting(items),
        "cautions": texts("caution.long."),
    }
    return frame.around("offer", **content, attention=_attention(items, content))


def _lead(items: Sequence[Item]) -> str:
    can, ask = len(offered(items)), sum(i.offered == "ask" for i in items)
    return text(
        "offer.lead",
        items=some(len(items), "item"),
        pieces=some(pieces(items), "piece"),
        can=some(can, "item"),
        builds=some(len(builds(items)), "build"),
        ask=some(ask, "item"),
        wait=text("offer.wait.one" if ask == 1 else "offer.wait.many"),
        no=some(sum(i.offered == "no" for i in items), "item"),
    )


def _totals(items: Sequence[Item]) -> list[list[str]]:
    weighed = [i for i in items if known((i.choice or {}).get("mass"))]
    mass = sum(i.choice["mass"] * pieces([i]) for i in weighed if i.choice)
    rows = [[text("offer.total.pieces"), str(pieces(items))], [text("offer.total.builds"), str(len(builds(items)))]]
    if weighed:
        part = pieces(weighed) < pieces(items)
        name = text("offer.total.mass.part", n=pieces(weighed)) if part else text("offer.total.mass")
        rows.append([name, f"{figure(mass)} kg"])
    return rows


def _rows(items: Sequence[Item]) -> list[dict[str, Any]]:
    can = {i.n for i in offered(items)}
    masses = aligned([figure((i.choice or {}).get("mass") if i.n in can else None) for i in items])
    return [
        {
            "n": i.n,
            "tag": short(tag_of(i), LONGEST_TAG),
            "tags": [short(t, LONGEST_TAG) for t in i.tags] if len(i.tags) > 1 else [],
            "quantity": i.quantity,
            "duty": duty_of(i),
            "asked": i.as_asked,
            "offered": i.offered,
            "build": clean((i.choice or {}).get("build")),
            "choice": in_words(i),
            "sentence": i.sentence,
            "mass": mass,
        }
        for i, mass in zip(items, masses, strict=True)
    ]


def in_words(item: Item) -> str:
    """The build in one line of trade words."""
    choice = item.choice or {}
    parts = [word(choice.get(k)) for k in ("size", "rating", "body_style", "liner", "disc", "shaft", "operator")]
    return ", ".join(p for p in parts if p)


def _deviations(items: Sequence[Item]) -> list[dict[str, str]]:
    pairs = [(i, d) for i in items if i.offered != "no" for d in i.deviations]
    return [
        {"which": which(group), "field": titled(d.field), "asked": valued(d.asked), "offered": valued(d.offered), "why": opened(d.why)}
        for d, group in grouped(pairs, lambda d: d)
    ]


def _assumptions(items: Sequence[Item]) -> list[dict[str, str]]:
    """One line a reason: where it gave several values, each stands with its items."""
    pairs = [(i, a) for i in items if i.offered != "no" for a in told(i.assumptions)]
    rows = []
    for alike in gathered(pairs, lambda a: (a.field, a.reason)):
        first = alike[0][1]
        values = [(valued(a.value), ranges(i.n for i in group)) for a, group in grouped(alike, lambda a: a.value)]
        said = values[0][0] if len(values) == 1 else "; ".join(f"{value} ({numbers})" for value, numbers in values)
        rows.append({"which": which([i for i, _ in alike]), "field": titled(first.field), "value": said, "reason": reasoned(first.reason)})
    return rows


def reasons(item: Item) -> list[str]:
    """Why an item is refused: the stops on what could be offered, else those on what was asked."""
    stops = of_offer(item, "stop") or of_asked(item)
    return list(dict.fromkeys(f.text or f.reason for f in stops))


def _refusal(item: Item) -> dict[str, Any]:
    other = item.other_family or {}
    family = word(other.get("family") or other.get("name") or other.get("key") or "")
    return {
        "n": item.n,
        "tag": short(tag_of(item), LONGEST_TAG),
        "duty": duty_of(item),
        "sentence": item.sentence,
        "reasons": [opened(r) for r in reasons(item) if not _within(r, item.sentence)],
        "family": text("offer.refused.family", family=family) if family else "",
        "why": [ended(re.sub(r"^R\d+: ", "", other.get("why") or other.get("reason") or ""))]
        + [text(f"offer.refused.{k}", **{k: clean(other[k]).rstrip(".")}) for k in ("also", "weakness", "ask") if clean(other.get(k))],
    }


def _within(part: str, whole: str) -> bool:
    """True where a sentence already says it."""
    return clean(part).rstrip(".?").casefold() in clean(whole).casefold()


def _waiting(items: Sequence[Item]) -> list[dict[str, Any]]:
    """Items that wait, with the numbers of their questions in the letter and the one that weighs most."""
    numbers = numbered(items)
    rows = []
    for item in (i for i in items if i.offered == "ask"):
        asked = sorted(item.questions, key=lambda q: -(q.effect or 0.0))
        said = ranges(numbers[key_of(q)] for q in asked)
        first = f"{ended(asked[0].text)} " if asked and not _within(asked[0].text, item.sentence) else ""
        where = first + text("offer.open.questions", numbers=said) if asked else ""
        rows.append({"n": item.n, "tag": short(tag_of(item), LONGEST_TAG), "sentence": item.sentence, "questions": where})
    return rows


def _whose(entry: dict[str, Any]) -> str:
    """How many items a condition stands for; where each has its own figure, whose is printed and how many are like it."""
    told = entry["said"]
    if len(told) == 1:
        return some(entry["count"], "item")
    return text("offer.attention.like", which=told[0]["which"], n=some(sum(e["count"] for e in told[1:]), "item"))


def _attention(items: Sequence[Item], content: dict[str, Any]) -> list[dict[str, Any]]:
    """The few lines of each kind that the first page must say."""
    kinds = {
        "questions": [f"{q['field']}: {q['text']} ({q['which']})" for q in ranked(items)],
        "conditions": [f"{short(e['said'][0]['text'], 150)} ({_whose(e)})" for e in content["conditions"]],
        "refused": [f"{short(r['tag'], 30)}: {short(r['sentence'], 150)}" for r in content["refused"]],
    }
    return [
        {
            "title": text(f"offer.attention.{kind}"),
            "lines": lines[:STANDING],
            "more": text("offer.attention.more", n=len(lines) - STANDING) if len(lines) > STANDING else "",
        }
        for kind, lines in kinds.items()
        if lines
    ]
