"""How much an answer matters: each open field is varied over its plausible set through the very chain that decided."""

import functools
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from softseat import tables
from softseat.maker.package import Maker
from softseat.media.names import find
from softseat.media.table import table
from softseat.selection.choice import build_code
from softseat.selection.decide import Decision, decide
from softseat.selection.item import Question
from softseat.selection.verdict import WORDS
from softseat.sheet import GIVEN, Sheet
from softseat.units import read_as, to_si

ATMOSPHERE = 101325.0
MOST_MEDIA = 4  # candidates of an ambiguous medium that are tried


@dataclass(frozen=True, slots=True)
class Answer:
    """One plausible answer: a column, how it is changed, and how people say it."""

    name: str
    how: str  # set, factor, add, word
    value: float | str
    when: str
    words: str


@dataclass(frozen=True, slots=True)
class Trial:
    """One item with one answer."""

    item: int
    field: str
    answer: Answer


@functools.cache
def plausible(purpose: str) -> Mapping[str, tuple[Answer, ...]]:
    """Plausible answers by field, for ``question`` or ``flip``."""
    found: dict[str, list[Answer]] = {}
    for row in tables.read("plausible"):
        if purpose in (row["for"], "both") or row["for"] == purpose:
            found.setdefault(row["field"], []).append(Answer(row["name"], row["how"], _value(row), row["when"], row["words"]))
    return {field: tuple(answers) for field, answers in found.items()}


def _value(row: Mapping[str, str]) -> float | str:
    if row["how"] == "word":
        return row["value"]
    if row["how"] == "factor" or row["unit"] == "-":
        return float(row["value"])
    if row["how"] == "add":
        return float(to_si(float(row["value"]), row["unit"])) - float(to_si(0.0, row["unit"]))
    unit = "Pa" if row["unit"] == "barg" else row["unit"]
    return read_as(f"{row['value']} {row['unit']}", "Pa") if unit == "Pa" else float(to_si(float(row["value"]), unit))


def trials(decision: Decision, asked: Mapping[int, Sequence[Question]]) -> list[Trial]:
    """Every item and question with every plausible answer."""
    found = []
    for n, questions in asked.items():
        for question in questions:
            found += [Trial(n, question.field, a) for a in _answers(decision.asked, n, question.field)]
    return found


def _answers(sheet: Sheet, n: int, field: str) -> list[Answer]:
    if field == "medium":
        named = _media(str(sheet["medium"][n]))
        return named if len(named) > 1 else list(plausible("question").get("medium", ()))
    wanted = "gas" if sheet["is_gas"][n] else "liquid"
    fit = [a for a in plausible("question").get(field, ()) if a.when in ("any", wanted)]
    return [a for a in fit if a.how in ("set", "word") or np.isfinite(sheet[a.name][n])]  # nothing to vary where nothing was taken


@functools.lru_cache(maxsize=4096)
def _media(text: str) -> list[Answer]:
    """What an ambiguous name could mean, by the media table's own names."""
    names = {int(i): str(name) for i, name in zip(table().medium_id, table().name, strict=True)}
    candidates = [i for i in find(text).candidates if i in names][:MOST_MEDIA]
    return [Answer("medium", "word", names[i], "any", names[i]) for i in candidates]


def varied(raw: Sheet, taken: Sheet, tries: Sequence[Trial]) -> Sheet:
    """The enquiry's Sheet of the tried items, each with its answer put in as if given."""
    rows = np.array([t.item for t in tries], int)
    sheet = raw.take_many(rows)
    # what the rest of the schedule told of a medium that is not named stays told: the tried items are no schedule
    sheet = sheet.adding(sheet.state["medium"], medium=taken["medium"][rows])
    for name in sorted({t.answer.name for t in tries}):
        column = sheet[name].copy() if sheet[name].dtype.kind != "U" else sheet[name].astype("U160")
        state = sheet.state[name].copy()
        for k, trial in enumerate(tries):
            if trial.answer.name == name:
                column[k], state[k] = _answered(taken, trial), GIVEN
        sheet = sheet.adding(state, **{name: column})
    sheet = _consistent(sheet, tries)
    # a tried item is no second tag of the schedule: what the schedule says of its tag stands as decided
    return sheet.adding(GIVEN, tag_clash=taken["tag_clash"][rows], tag_repeat=taken["tag_repeat"][rows])


LOWER_TOO = {"t_max": "t_normal", "p_max": "p1"}  # a lower highest value takes the operating one down with it


def _consistent(sheet: Sheet, tries: Sequence[Trial]) -> Sheet:
    """A highest value that was lowered below the operating one takes that with it; else the data would only contradict themselves."""
    for name, below in LOWER_TOO.items():
        moved = np.array([t.answer.name == name for t in tries], bool)
        column = np.where(moved & (sheet[below] > sheet[name]), sheet[name], sheet[below])
        sheet = sheet.adding(sheet.state[below], **{below: column})
    return sheet


def _answered(taken: Sheet, trial: Trial) -> float | str:
    answer = trial.answer
    if answer.how in ("set", "word"):
        return answer.value
    before = float(taken[answer.name][trial.item])
    if answer.how == "add":
        return before + float(answer.value)
    if answer.name.startswith("p_") or answer.name == "p1":
        return ATMOSPHERE + (before - ATMOSPHERE) * float(answer.value)
    return before * float(answer.value)


def outcome(decision: Decision) -> list[tuple[str, str]]:
    """Verdict and build of each item, to be compared."""
    verdicts = WORDS[decision.as_offered]
    return [(str(v), build_code(decision.offered, n) if v in ("yes", "if") else "") for n, v in enumerate(verdicts)]


def ranked(raw: Sheet, decision: Decision, maker: Maker, asked: Mapping[int, Sequence[Question]]) -> dict[int, tuple[Question, ...]]:
    """The questions of each item with the share of plausible answers that change verdict or build, the largest first."""
    tries = trials(decision, asked)
    moved = _moved(raw, decision, maker, tries)
    share: dict[tuple[int, str], list[bool]] = {}
    for trial, changed in zip(tries, moved, strict=True):
        share.setdefault((trial.item, trial.field), []).append(changed is not None)
    found = {}
    for n, questions in asked.items():
        refused = WORDS[decision.as_offered[n]] == "no"
        told = [replace(q, effect=_share(share.get((n, q.field)))) for q in questions]
        # an answer that changes nothing is not asked for: what was assumed stands as an assumption
        told = [q for q in told if q.effect != 0.0 or not (q.assumed or refused)]
        found[n] = tuple(sorted(told, key=lambda q: -1.0 if q.effect is None else -q.effect))
    return found


def _share(changed: list[bool] | None) -> float | None:
    return round(sum(changed) / len(changed), 2) if changed else None


def _moved(raw: Sheet, decision: Decision, maker: Maker, tries: Sequence[Trial]) -> list[tuple[str, str] | None]:
    """What each trial came to where that differs from what was decided; None where nothing moves."""
    if not tries:
        return []
    before = outcome(decision)
    after = outcome(decide(varied(raw, decision.asked, tries), maker, thorough=False))
    return [a if a != before[t.item] else None for t, a in zip(tries, after, strict=True)]


def flips(raw: Sheet, decision: Decision, maker: Maker, items: Iterable[int]) -> dict[int, tuple[str, ...]]:
    """For each item the small changes that turn its verdict, in words: what would flip it."""
    tries = []
    for n in items:
        wanted = "gas" if decision.asked["is_gas"][n] else "liquid"
        for field, answers in plausible("flip").items():
            if np.isfinite(decision.asked[answers[0].name][n]):
                tries += [Trial(n, field, a) for a in answers if a.when in ("any", wanted)]
    moved = _moved(raw, decision, maker, tries)
    verdicts = WORDS[decision.as_offered]
    found: dict[int, list[str]] = {}
    for trial, after in zip(tries, moved, strict=True):
        if after is not None and after[0] != verdicts[trial.item]:
            found.setdefault(trial.item, []).append(f"{trial.answer.words}: {after[0]}")
    return {n: tuple(told) for n, told in found.items()}
