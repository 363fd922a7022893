"""Each kind of fault in a copy of the shipped package is found and named by file, row, column, value and what is allowed."""

import csv
import json
import shutil

import pytest
from frictionless import Package

from softseat.maker.check import check
from softseat.maker.faults import filed
from softseat.maker.package import SHIPPED


@pytest.fixture
def folder(tmp_path):
    return shutil.copytree(SHIPPED, tmp_path / "maker")


def lines_of(file):
    with file.open(encoding="utf-8", newline="") as stream:
        return list(csv.reader(stream))


def write(file, rows):
    with file.open("w", encoding="utf-8", newline="") as stream:
        csv.writer(stream, lineterminator="\n").writerows(rows)


def spoil(folder, table, where, column, value):
    """Change one cell of the first row that has these cells; its row number as an editor counts."""
    file = folder / f"{table}.csv"
    rows = lines_of(file)
    heads = [h.partition(" [")[0] for h in rows[0]]
    for number, row in enumerate(rows[1:], start=2):
        cells = dict(zip(heads, row, strict=True))
        if all(cells[k] == v for k, v in where.items()):
            row[heads.index(column)] = value
            write(file, rows)
            return number
    raise AssertionError(where)


def test_the_shipped_package_has_no_fault():
    assert check(SHIPPED) == []


W200 = {"body_style": "wafer", "dn": "200", "rating": "PN16"}
L200 = {"body_style": "lugged", "dn": "200", "rating": "PN16"}
CASES = [
    # by the schema
    ("valves", W200, "body_style", "waver", "wafer, lugged, double_flanged"),
    ("valves", W200, "mass", "heavy", "a number from 0 not empty"),
    ("valves", W200, "mass", "", "not empty"),
    ("valves", W200, "mass", "-3", "from 0"),
    ("valves", W200, "mass", "inf", "a number"),
    ("valves", W200, "mass", "15,1", "a number"),
    ("valves", W200, "basis", "guessed", "tested, calculated, invented"),
    ("valves", W200, "top_flange", "F11", "F10"),
    ("liners", {"liner_grade": "FKM"}, "liner_builds", "glued", "(bonded|backed|loose)"),
    ("kv", {"dn": "200", "opening": "40"}, "fl", "1.4", "to 1"),
    # by the trade
    ("liners", {"liner_grade": "FKM"}, "liner_grade", "RUBBER", "EPDM_P"),
    ("discs", {"disc": "CF8M"}, "disc", "316", "CF8M"),
    ("bodies", {"body": "WCB"}, "body", "steel", "WCB"),
    ("bodies", {"body": "WCB"}, "body_styles", "wafer, lugged", "wafer; lugged; double_flanged"),
    ("shafts", {"shaft": "K500"}, "shaft", "K600", "K500"),
    ("shafts", {"shaft": "1.4021"}, "condition", "hardened", "QT800"),
    ("shafts", {"shaft": "1.4462"}, "yield", "600", "at most 450 MPa"),
    ("bushes", {"bush": "POM"}, "bush", "acetal", "POM"),
    ("words", {"word": "black seven"}, "key", "black", "EPDM_P"),
    ("valves", W200, "face_to_face", "71", "60 +-2 mm (EN 558 series 20)"),
    ("bodies", {"body": "WCB"}, "dn_max", "40", "at least 50"),
    ("valves", {"body_style": "wafer", "dn": "250", "rating": "PN16"}, "mass", "14", "which stands at dn 200"),
    ("valves", W200, "mass", "13", "which stands at pn 10"),
    ("torque", {"dn": "250", "pn": "16", "disc_build": "metal"}, "torque", "20", "which stands at dn 200"),
    ("kv", {"dn": "200", "opening": "90"}, "kv", "1500", "which stands at opening 80"),
    ("kv", {"dn": "250", "opening": "40"}, "kv", "500", "which stands at dn 200"),
    ("kv", {"dn": "200", "opening": "90"}, "opening", "85", "a row at 90 for DN200"),
    ("valves", W200, "pn", "10", "the number of PN16"),
    ("valves", W200, "seat_rating", "20", "at most 16 bar"),
    ("valves", W200, "dead_end_rating", "6", "empty"),
    ("valves", L200, "dead_end_rating", "17", "at most 16"),
    ("valves", L200, "thread_depth", "", "full thread"),
    ("torque", {"dn": "900", "pn": "10", "disc_build": "covered"}, "torque", "33000", "at most 32000, the limit of top flange F35"),
    ("gears", {"key": "G500"}, "torque", "1010", "F14 or a larger one for 1010 N m"),
    ("cylinders", {"key": "DA140"}, "top_flange", "F05", "F07 or a larger one"),
    ("levers", {"key": "L300"}, "top_flange", "F07/F11", "F05/F07 for both"),
    ("cylinders", {"key": "SR140"}, "spring_start", "130", "above 140"),
    ("cylinders", {"key": "SR140"}, "spring_mid", "", "a torque"),
    ("cylinders", {"key": "DA140"}, "spring_end", "5", "empty"),
    ("bushes", {"bush": "POM"}, "default", "yes", "yes in one row, not in 2"),
]


@pytest.mark.parametrize(("table", "where", "column", "value", "allowed"), CASES)
def test_a_spoilt_cell_is_found_and_named(folder, table, where, column, value, allowed):
    row = spoil(folder, table, where, column, value)
    asked = {"gears": "top_flange"}.get(table, column)
    found = [f for f in check(folder) if f.file == f"{table}.csv" and f.column.partition(" [")[0] == asked and allowed in f.allowed]
    assert found, "\n".join(map(str, check(folder)))
    if column not in ("opening", "default", "top_flange") and table != "gears":
        assert (row, value) in {(f.row, f.value) for f in found}
    assert f"{table}.csv, row" in str(found[0])
    assert found[0].allowed in str(found[0])


def test_a_hole_in_the_sizes_is_found(folder):
    file = folder / "valves.csv"
    write(file, [r for r in lines_of(file) if r[:3] != ["wafer", "200", "PN16"]])
    (fault,) = check(folder)
    assert (fault.file, fault.value) == ("valves.csv", "150")
    assert "DN200 between, of wafer PN16" in fault.allowed


def test_dn750_may_be_left_out(folder):
    """EN 1092 knows no DN 750."""
    file = folder / "valves.csv"
    write(file, [r for r in lines_of(file) if r[1] != "750"])
    assert check(folder) == []


def test_a_row_that_stands_twice_is_found(folder):
    file = folder / "bushes.csv"
    rows = lines_of(file)
    write(file, [*rows, rows[1]])
    assert [(f.row, f.value) for f in check(folder) if "once" in f.allowed] == [(len(rows) + 1, "POM")]


def test_headings_without_their_unit_or_with_a_wrong_one_are_found(folder):
    for old, new, allowed in (
        ("mass [kg]", "mass", "mass [kg]"),
        ("mass [kg]", "mass [mm]", "mass [kg]"),
        ("mass [kg]", "weight [kg]", "mass [kg]"),
        ("mass [kg]", "mass [stones]", "mass [kg]"),
    ):
        file = folder / "valves.csv"
        text = file.read_text("utf-8")
        file.write_text(text.replace(old, new, 1), "utf-8")
        faults = check(folder)
        assert any(f.row == 1 and allowed in f.allowed for f in faults), new
        file.write_text(text, "utf-8")


def test_another_unit_of_the_same_kind_and_another_order_are_fine(folder):
    file = folder / "valves.csv"
    rows = lines_of(file)
    place = rows[0].index("seat_rating [bar]")
    rows[0][place] = "seat_rating [kPa]"
    for row in rows[1:]:
        row[place] = f"{float(row[place]) * 100:g}"
    write(file, [[*row[::-1], "note"] for row in rows])
    assert check(folder) == []


def test_a_short_row_an_empty_table_and_a_missing_file_are_found(folder):
    (folder / "levers.csv").write_text((folder / "levers.csv").read_text("utf-8") + "L999,1\n", "utf-8")
    heads = lines_of(folder / "liners.csv")[:1]
    write(folder / "liners.csv", heads)
    (folder / "kv.csv").unlink()
    found = {(f.file, f.value) for f in check(folder)}
    assert ("levers.csv", "2 cells") in found
    assert ("liners.csv", "no rows") in found
    assert any(file == "kv.csv" and "not in" in value for file, value in found)


def test_a_table_that_may_be_empty_is_no_fault(folder):
    for name in ("electrics", "torque", "kv", "words"):
        write(folder / f"{name}.csv", lines_of(folder / f"{name}.csv")[:1])
    assert check(folder) == []


def test_a_descriptor_that_is_none_is_one_fault(folder):
    (folder / "datapackage.json").write_text("[]", "utf-8")
    (fault,) = check(folder)
    assert fault.file == "datapackage.json"


def test_a_table_that_the_descriptor_does_not_name_is_found(folder):
    told = json.loads((folder / "datapackage.json").read_text("utf-8"))
    told["resources"] = [r for r in told["resources"] if r["name"] != "gears"]
    (folder / "datapackage.json").write_text(json.dumps(told), "utf-8")
    (fault,) = check(folder)
    assert (fault.file, fault.value) == ("datapackage.json", "gears")


def test_rows_count_as_an_editor_counts_them(folder):
    file = folder / "bushes.csv"
    heads, rest = file.read_text("utf-8").split("\n", 1)
    file.write_text(f"{heads}\n# a remark\n\n{rest}", "utf-8")
    assert [row.number for row in filed(file).rows][:2] == [4, 5]


def test_the_shipped_folder_is_a_valid_data_package():
    """By frictionless alone, from the descriptor: an independent reader of Data Package and Table Schema."""
    report = Package(str(SHIPPED / "datapackage.json")).validate()
    assert report.valid, [error.note for task in report.tasks for error in task.errors]
    assert len(report.tasks) == 15
