"""The letter of questions: properties."""

from dataclasses import replace

from softseat.papers.frame import Frame
from softseat.papers.questions import A_PAGE, questions, ranked
from softseat.selection.item import Question


def asking(sample, n, *held):
    return replace(sample.item(0), n=n, tag=f"T-{n}", questions=held)


def test_one_question_for_all_its_items(sample):
    items = [asking(sample, n, Question("oil", "Is the air oil-free?", 0.4, "no oil")) for n in range(3, 41)]
    (line,) = ranked(items)
    assert line["which"] == "items 3–40"
    assert line["assumed"] == "Until answered we take: no oil"


def test_the_heaviest_comes_first(sample):
    items = [asking(sample, n, Question("a", "small?", 0.2), Question("b", "many?", 0.3)) for n in (1, 2, 3)]
    items.append(asking(sample, 4, Question("c", "one?", 0.8), Question("d", "unknown?", None)))
    assert [q["text"] for q in ranked(items)] == ["many?", "one?", "small?", "unknown?"]


def test_different_assumptions_are_told_by_item(sample):
    items = [asking(sample, 1, Question("a", "x?", 0.1, "5 bar")), asking(sample, 2, Question("a", "X? ", 0.5, "6 bar"))]
    (line,) = ranked(items)
    assert line["assumed"] == "Until answered we take: 5 bar (item 1 (T-1)); 6 bar (item 2 (T-2))"
    assert line["effect"] == "changes the verdict or the build in up to 50 % of the plausible answers"


def test_seven_a_page_at_most(sample):
    items = [asking(sample, 1, *(Question("a", f"{k}?", 0.1) for k in range(2 * A_PAGE + 1)))]
    pages = questions(Frame("x", sample.MAKER), items)["pages"]
    assert [len(p["questions"]) for p in pages] == [7, 7, 1]
    assert [q["n"] for p in pages for q in p["questions"]] == list(range(1, 16))
