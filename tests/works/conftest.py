"""Two offered items of the shipped, invented maker, decided once by the chain itself, and a record that passes."""

import copy

import pytest

from softseat.job import phone_item
from softseat.maker.package import load
from softseat.works.record import wanted

PHONE = {
    "metal": "sea water dn200 200 m3/h 6 bar 30C wafer gear PN16 EPDM liner 316 disc",
    "coated": "drinking water dn300 760 m3/h 6 bar 40C wafer electric PN10 EPDM liner",
}
LOOKED_AT = {"seen": "ok", "age": "2026-05-04"}


@pytest.fixture(scope="session")
def maker():
    return load()


@pytest.fixture(scope="session")
def items():
    return {name: phone_item(words) for name, words in PHONE.items()}


def good_record(item, maker, serial="26-0117"):
    """A record, invented, in which every test of the plan is made and holds with room."""
    record = {
        "serial": serial, "build": item.choice["build"], "date": "2026-11-02", "inspector": "Inspector One", "independent": True,
        "liner_batch": "L-2605-3", "cure_date": "2026-05-04", "heat": {"body": "H 4711", "disc": "H 4712", "shaft": "H 4713"},
        "gauges": [{"id": "P-12", "due": "2027-05-01"}],
    }  # fmt: skip
    for _, row in wanted(item):
        record[row["key"]] = _held(item, row, maker)
    return record


def _held(item, row, maker):
    if row["kind"] == "hold":
        shell = row["key"] == "shell"
        pressure, time = (item.tests[k].value for k in (("shell", "shell_time") if shell else ("seat", "seat_time")))
        return {"pressure": f"{pressure + 0.3} bar(g)", "time": f"{time + 5} s", "leak": "none visible"}
    if row["kind"] == "most":
        return {"torque_open": {"torque": 0.9 * item.numbers["torque_unseating"].value, "difference": "0 bar"}}.get(row["key"], 1.0)
    if row["kind"] == "coat":
        return ["430 um", "395 um", "371 um", "402 um"]
    if row["kind"] == "readings":
        name = row["nominal"].partition(" ")[2]
        middle = item.dimensions[name].value if name in item.dimensions else 70.0
        return [middle, middle * 1.0001]
    return LOOKED_AT[row["kind"]]


@pytest.fixture
def record(items, maker):
    """A fresh one for each test and kind of disc."""
    return lambda name="metal", serial="26-0117": copy.deepcopy(good_record(items[name], maker, serial))
