"""A new package can be filled at once: headings, schema, one example row that is not read."""

import pytest

from softseat.errors import InputError
from softseat.maker.check import NEEDED, check
from softseat.maker.new import TITLE, new
from softseat.maker.package import SHIPPED, load


def test_it_loads_empty_under_the_headings_of_the_shipped_one(tmp_path):
    files = new(tmp_path / "Our Valves")
    maker = load(tmp_path / "Our Valves")
    assert {f.name for f in files} == {f.name for f in SHIPPED.iterdir()}
    assert (maker.name, maker.title, maker.invented) == ("our-valves", TITLE, False)
    for name, table in load().tables.items():
        assert list(maker.table(name)) == list(table)
        assert all(len(column) == 0 for column in maker.table(name).values())


def test_the_check_asks_for_rows_and_nothing_else(tmp_path):
    new(tmp_path / "a")
    assert {(f.file, f.value) for f in check(tmp_path / "a")} == {(f"{name}.csv", "no rows") for name in NEEDED}


def test_the_example_row_becomes_one_when_its_mark_is_taken_away(tmp_path):
    new(tmp_path / "a")
    for file in (tmp_path / "a").glob("*.csv"):
        assert sum(line.startswith("# ") for line in file.read_text("utf-8").splitlines()) == 1
        file.write_text(file.read_text("utf-8").replace("# ", "", 1), "utf-8")
    assert all(len(next(iter(t.values()))) == 1 for t in load(tmp_path / "a").tables.values())
    assert not [f for f in check(tmp_path / "a") if f.row and "at 90" not in f.allowed and f.column != "default" and f.file != "words.csv"]


def test_nothing_is_overwritten(tmp_path):
    (tmp_path / "kv.csv").write_text("mine", "utf-8")
    with pytest.raises(InputError, match=r"kv\.csv"):
        new(tmp_path)
    assert [f.name for f in tmp_path.iterdir()] == ["kv.csv"]
    with pytest.raises(InputError, match="already holds"):
        new(tmp_path / "kv.csv")
