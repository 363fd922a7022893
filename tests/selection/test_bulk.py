"""Very many items in parts: the same to the last bit, and a table that Parquet gives back."""

import distributed
import numpy as np
import pyarrow
import pytest
from pyarrow import parquet
from tests.enquiry.sheets import BREWERY, OIL, SEA

from softseat.enquiry.reader import read_enquiry
from softseat.maker.package import load
from softseat.register import RULES
from softseat.selection.bulk import columns, decide_part, decided, filed, read_part, table, write_part
from softseat.selection.decide import decide
from softseat.selection.parted import LEAST, PART, even, of_schedule, split


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


@pytest.fixture(scope="module")
def parts(tmp_path_factory):
    """An enquiry in three Parquet files, and where it stands whole."""
    sheet, folder = of_schedule(read_enquiry(BREWERY).sheet, 9), tmp_path_factory.mktemp("parts")
    return sheet, [write_part(part, folder / f"{k}.parquet") for k, part in enumerate(split(sheet, 9))]


def test_a_part_comes_back_as_it_was(parts):
    sheet, files = parts
    for part, file in zip(split(sheet, 9), files, strict=True):
        back = read_part(file)
        assert different(part.values, back.values) == []
        assert different(part.state, back.state) == []
        assert (back.origin, back.why) == (part.origin, part.why)


def test_two_workers_of_a_cluster_are_as_one_process(parts, tmp_path):
    """The same pure function mapped over the parts by Dask, on a local cluster of two: the same table to the last bit."""
    sheet, files = parts
    maker = load()
    with (
        distributed.LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None) as cluster,
        distributed.Client(cluster) as client,
    ):
        made = client.gather(client.map(lambda file: decide_part(file, tmp_path / file.name, maker), files))
    whole = pyarrow.concat_tables(parquet.read_table(file) for file in made)
    assert whole.equals(table(decide(sheet, maker)))


@pytest.mark.parametrize(
    ("size", "processors", "parts"), [(1_000_000, 2, 26), (100_000, 2, 4), (30_000, 2, 2), (4_000, 2, 1), (90_000, 1, 3)]
)
def test_processors_get_even_parts(size, processors, parts):
    part = even(size, PART, processors)
    assert part <= PART
    assert -(-size // part) == parts
    assert parts % processors == 0 or size <= LEAST
