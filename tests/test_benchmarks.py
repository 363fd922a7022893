"""The benchmarks run, in their short form, and what they are for still holds: many at once beat one by one, calamine beats its peer."""

from pathlib import Path

import pytest

from softseat.maker.package import load

BENCHMARKS = Path(__file__).parents[1] / "benchmarks"


@pytest.fixture(autouse=True)
def _findable(monkeypatch):
    monkeypatch.syspath_prepend(str(BENCHMARKS))


def test_items_are_the_same_for_the_same_seed_and_of_every_medium():
    import items

    assert items.text(30) == items.text(30) != items.text(30, seed=12)
    assert len({r[0] for r in items.rows(500)}) == 500
    named = {r[2] for r in items.rows(8000)}
    assert len(named & set(items.media())) > 0.95 * len(set(items.media()))


def test_many_at_once_beat_one_by_one():
    import items
    import scale

    maker, sheet = load(), items.sheet(300)
    scale.decide(sheet, maker)
    seconds, _ = scale.taken(lambda: scale.decide(sheet, maker))
    assert 300 / seconds > 5 * scale.loop(sheet, maker, 5)


def test_the_parts_count_every_item():
    import items
    import scale

    assert sum(scale.count(scale.decided(items.sheet(250), load(), part=100)).values()) == 250


def test_workbooks_beside_their_peers():
    import workbooks

    (write, _), (read, peer) = workbooks.compared(400).values()
    assert write > 0
    assert read < peer
