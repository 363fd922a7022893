"""Very many items in parts: the same to the last bit, and a table that Parquet gives back."""

import numpy as np
import pyarrow
import pytest
from pyarrow import parquet
from tests.enquiry.sheets import BREWERY, OIL, SEA

from softseat.enquiry.reader import read_enquiry
from softseat.maker.package import load
from softseat.register import RULES
from softseat.selection.bulk import columns, decided, filed, table
from softseat.selection.decide import decide
from softseat.selection.parted import of_schedule, split


def different(one, other):
    return [n for n in one if not np.array_equal(one[n], other[n], equal_nan=one[n].dtype.kind == "f")]


@pytest.mark.parametrize("path", [SEA, BREWERY, OIL], ids=lambda p: p.stem)
@pytest.mark.parametrize("part", [1, 7])
def test_parts_are_as_the_whole(path, part):
    read, maker = read_enquiry(path), load()
    whole = columns(decide(read.sheet, maker))
    parts = list(decided(read.sheet, maker, part))
    assert len(parts) == -(-len(read.sheet) // part)
    assert different(whole, {n: np.concatenate([p[n] for p in parts]) for n in whole}) == []


def test_two_processors_are_as_one():
    read, maker = read_enquiry(BREWERY), load()
    one, two = (list(decided(read.sheet, maker, 5, processors)) for processors in (1, 2))
    assert [different(a, b) for a, b in zip(one, two, strict=True)] == [[]] * len(one)


def test_a_tag_that_stands_twice_is_seen_over_parts():
    read = read_enquiry(OIL)
    sheet = of_schedule(read.sheet.take_many(np.array([0, 1, 2, 0, 3])), 2)
    assert [bool(t) for t in sheet["tag_repeat"]] == [False, False, False, True, False]
    assert sum(len(p) for p in split(sheet, 2)) == 5


def test_the_table_comes_back_from_parquet(tmp_path):
    decision = decide(read_enquiry(SEA).sheet, load())
    made = table(decision)
    parquet.write_table(made, tmp_path / "items.parquet")
    back = parquet.read_table(tmp_path / "items.parquet")
    assert back.equals(made)
    assert back["offered"].to_pylist() == [["yes", "if", "ask", "no"][v] for v in decision.as_offered]
    assert back["dn"].to_pylist() == [None if np.isnan(d) else d for d in decision.offered["dn"]]
    assert back.schema.field("torque_required_low").metadata == {b"unit": b"N m"}
    assert {f"{r}_offered" for r in RULES} <= set(back.column_names)
    assert pyarrow.types.is_int8(back.schema.field("R001_asked").type)


def test_parts_have_one_schema():
    read, maker = read_enquiry(BREWERY), load()
    parts = [filed(p) for p in decided(read.sheet, maker, 4)]
    assert all(p.schema.equals(parts[0].schema) for p in parts)
    assert pyarrow.concat_tables(parts).num_rows == len(read.sheet)
