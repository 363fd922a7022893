"""Reads the pairs of smallest items, one that just fires a rule and one that just does not, into Sheets."""

import csv
import re
from pathlib import Path

import numpy as np

from softseat.enquiry.reader import read_enquiry
from softseat.maker.package import load
from softseat.names import names
from softseat.selection.decide import as_asked, prepare
from softseat.selection.fit import fit
from softseat.selection.parts import bush_columns
from softseat.selection.sizing import sizing
from softseat.sheet import GIVEN, MISSING
from softseat.units import read_as

TABLE = Path(__file__).with_name("rules_twins.csv")
ALIAS = {"opening": "opening_normal", "sigma_over_choking": "sigma_margin", "face_to_face": "face_to_face_series"}
FLAGS = {"yes": True, "no": False}


def twins():
    """Rows of the table: rule, fires, does_not, remark."""
    return list(csv.DictReader(line for line in TABLE.read_text("utf-8").splitlines() if not line.startswith("#")))


def items(text):
    """The items of one side (a second one in brackets), each as fields and derived values."""
    first, *rest = re.split(r"\s*\(second item: ?", text)
    found = []
    for part in (first, *(r.rstrip(")") for r in rest)):
        pairs = [p.split("=", 1) for p in part.split("; ") if "=" in p]
        plain = {k.strip(): re.sub(r"\s+\(.*\)$", "", v.strip()) for k, v in pairs}
        given = {k: v for k, v in plain.items() if not k.startswith("@") and v != "(missing)" and not v.startswith("(missing")}
        derived = {k[1:]: v for k, v in plain.items() if k.startswith("@")}
        found.append((given, derived))
    return found


def asked_sheet(sides, folder):
    """One asked Sheet of all these items, through reader and chain as any enquiry goes."""
    keys = sorted({k for given, _ in sides for k in given})
    path = folder / "twins.csv"
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow([*keys, "Qty", "Weight"])
        for given, _ in sides:
            writer.writerow([*(given.get(k, "") for k in keys), "", "5"])
    read = read_enquiry(path, {k: k for k in keys})
    assert len(read.sheet) == len(sides), "an item was lost in reading"
    with np.errstate(all="ignore"):
        return as_asked(sizing(prepare(read.sheet)), load())


def put(sheet, n, name, text):
    """A derived value or a maker's figure, straight into the Sheet."""
    name = ALIAS.get(name, name)
    if name == "top_flange":
        return put(sheet, n, "top_flange_torque", {"F07": "250 N m"}[text])
    column = sheet[name].copy()
    missing = text.startswith("(missing")
    if column.dtype.kind == "U":
        column = column.astype("U60")
        column[n] = "" if missing else text
    elif column.dtype.kind == "b":
        column[n] = FLAGS[text]
    else:
        column[..., n] = np.nan if missing else _number(name, text)
    state = sheet.state[name].copy()
    state[n] = MISSING if missing else GIVEN
    return sheet.adding(state, **{name: column})


def completed(sheet, derived):
    """What follows from the values that were put in, by the functions of the chain."""
    with np.errstate(all="ignore"):
        if "bush" in derived:
            sheet = bush_columns(sheet)
        if {"disc_diameter", "face_to_face", "centred_for"} & set(derived):
            sheet = fit(sheet, load())
    return sheet


def _number(name, text):
    if re.fullmatch(r"-?[\d.]+", text):
        return float(text)
    unit = names()[name].unit if name in names() else "-"
    return float(text.rstrip("%")) / 100 if text.endswith("%") else read_as(text, unit)
