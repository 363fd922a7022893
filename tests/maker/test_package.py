"""Reading a package: units, words, what is refused, speed."""

import shutil
import subprocess
import sys
import time

import numpy as np
import pytest

from softseat.errors import DataError, UnknownName
from softseat.maker import package
from softseat.maker.package import SHIPPED, factor, head, load, number


@pytest.fixture
def folder(tmp_path):
    return shutil.copytree(SHIPPED, tmp_path / "maker")


def test_the_shipped_set_says_that_it_is_invented():
    maker = load()
    assert maker.invented
    assert maker.title == "Demonstration data, invented"
    for name, table in maker.tables.items():
        if "basis" in table:
            assert set(table["basis"].tolist()) == {"invented"}, name


def test_a_set_without_an_invented_figure_is_not_called_so(folder):
    for file in folder.glob("*.csv"):
        file.write_text(file.read_text("utf-8").replace("invented", "tested"), "utf-8")
    assert not load(folder).invented
    shafts = folder / "shafts.csv"
    shafts.write_text(shafts.read_text("utf-8").replace("tested", "invented", 1), "utf-8")
    assert load(folder).invented  # one such row is enough


def test_numbers_arrive_in_si_kv_and_opening_as_the_vocabulary_has_them(folder):
    """Definitions of the units: 1 bar = 1e5 Pa, 0 C = 273.15 K, 1 mm = 1e-3 m (SI Brochure)."""
    (folder / "coats.csv").write_text("coating,t_max [C],thickness [um],basis\nx,110,250,tested\n", "utf-8")
    (folder / "kv.csv").write_text("dn [-],opening [deg],kv [m3/h]\n200,40,594\n", "utf-8")
    (folder / "cylinders.csv").write_text("key,air_start [N m/bar],max_pressure [bar],spring_end [N m]\nA,25,8,\n", "utf-8")
    maker = load(folder)
    assert maker.table("coats")["t_max"] == pytest.approx([383.15], abs=1e-9)
    assert maker.table("coats")["thickness"] == pytest.approx([250e-6], rel=1e-12)
    assert maker.table("kv")["kv"].tolist() == [594.0]
    assert maker.table("kv")["opening"].tolist() == [40.0]
    assert maker.table("cylinders")["air_start"] * maker.table("cylinders")["max_pressure"] == pytest.approx([200.0], rel=1e-12)
    assert np.isnan(maker.table("cylinders")["spring_end"]).all()


def test_words_are_unicode_and_columns_cannot_be_written():
    valves = load().table("valves")
    assert valves["body_style"].dtype.kind == "U"
    with pytest.raises(ValueError, match="read-only"):
        valves["mass"][0] = 1.0


def test_a_remark_and_a_blank_line_are_no_rows(folder):
    (folder / "words.csv").write_text("word,field,key\n# example,liner_grade,EPDM_P\n\nblue,liner_grade,FKM\n", "utf-8")
    assert load(folder).table("words")["word"].tolist() == ["blue"]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("word,field,key\na,b\n", ["words.csv", "row 2", "2 cells under 3"]),
        ("word,field,key [lightyear]\na,b,1\n", ["words.csv", "key [lightyear]", "not known"]),
        ("word,field,key [mm]\na,b,\n\nc,d,1_000\n", ["words.csv", "row 4", "key [mm]", "1_000"]),
        ("word,field,key [mm]\na,b,nan\n", ["row 2", "'nan' is not a number"]),
        ('word,field,key [mm]\na,b,"1,5"\n', ["row 2", "'1,5' is not a number"]),
        ("word,word,key\na,b,c\n", ["words.csv", "twice"]),
        ("", ["words.csv", "no headings"]),
    ],
)
def test_what_cannot_be_read_is_named(folder, text, says):
    (folder / "words.csv").write_text(text, "utf-8")
    with pytest.raises(DataError) as caught:
        load(folder)
    assert all(part in str(caught.value) for part in says), str(caught.value)


def test_a_missing_file_folder_or_descriptor_is_named(folder, tmp_path):
    (folder / "kv.csv").unlink()
    with pytest.raises(DataError, match=r"kv\.csv"):
        load(folder)
    with pytest.raises(DataError, match="is not a folder"):
        load(tmp_path / "nothing")
    (tmp_path / "empty").mkdir()
    with pytest.raises(DataError, match=r"datapackage\.json"):
        load(tmp_path / "empty")


@pytest.mark.parametrize("path", ["../outside.csv", "/etc/hostname", None])
def test_a_package_reads_nothing_outside_of_its_folder(folder, path):
    (folder / "datapackage.json").write_text(__import__("json").dumps({"name": "x", "resources": [{"name": "a", "path": path}]}), "utf-8")
    with pytest.raises(DataError, match="inside the folder"):
        load(folder)


def test_an_unknown_table_says_which_there_are():
    with pytest.raises(UnknownName, match=r"'pumps'.*valves"):
        load().table("pumps")


def test_headings():
    assert head("face_to_face [mm]") == ("face_to_face", "mm")
    assert head("dn [-]") == ("dn", "-")
    assert head("basis") == ("basis", None)
    assert factor("t_max", "C") == pytest.approx((1.0, 273.15), rel=1e-12)
    assert factor("opening", "deg") == (1.0, 0.0)
    assert factor("hardness", "Shore A") == (1.0, 0.0)
    assert number(" -1.5e2 ") == -150.0


def test_it_is_read_again_only_when_a_file_has_changed(folder):
    first = load(folder)
    assert load(folder) is first
    (folder / "words.csv").write_text("word,field,key\nchanged since,liner_grade,FKM\n", "utf-8")
    assert load(folder).table("words")["word"].tolist() == ["changed since"]


def test_load_is_fast_and_light():
    """Under 50 ms without the cache, and without the library that only `maker check` needs."""
    times = []
    for _ in range(5):
        package._load.cache_clear()
        start = time.perf_counter()
        load()
        times.append(time.perf_counter() - start)
    assert min(times) < 0.05
    told = "import sys; from softseat.maker.package import load; load(); sys.exit('frictionless' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", told], check=False).returncode == 0
