"""Where a number comes from: the cell, the reason of an assumption, or the steps of its calculation."""

from collections.abc import Mapping
from typing import Any

from nicegui import ui

from softseat.desk.marks import scroll, text
from softseat.desk.pages.frame import dialog, html
from softseat.papers.figures import sentence
from softseat.papers.texts import label, titled
from softseat.selection.item import Item

# which steps of the calculation sheet a number is the end of
ENDS = {
    "kv_full": ("kv", "phi"),
    "torque_required": ("rim_torque", "hub_torque", "share", "torque"),
    "torque_unseating": ("rim_torque", "hub_torque", "share", "torque"),
    "shaft_limit": ("torsion", "torque_limit", "greatest", "torque", "limit"),
    "bore_gap": ("gap", "chord"),
    "valve_rating": ("rating", "pressure"),
}


def how_found(item: Item, key: str) -> str:
    """The cell as typed, or why it was assumed, or that it was calculated."""
    cell = item.origins.get(key)
    if cell and item.duty.get(key) is not None and item.duty[key].basis == "given":
        return f"{cell['sheet']}, {cell['column']}{cell['row']}: “{cell['text']}”" if cell["column"] else f"“{cell['text']}”"
    for a in item.assumptions:
        if a.field == key:
            return f"assumed: {a.reason}"
    return item.duty[key].basis if key in item.duty else ""


def explain_number(item: Item, key: str) -> None:
    """Open the steps that end in this number; without a key, or where none does, the whole sheet."""
    wanted = ENDS.get(key, (key,))
    steps = [s for s in item.steps if set(s.get("results") or {}) & set(wanted)] if key else []
    whole = not steps
    number = item.numbers.get(key)
    title = f"{titled(key)}: {sentence(number)}" if number is not None else "Calculation sheet"
    with dialog(title, "62rem") as shown:
        if key and whole:
            html("<p class='soft'>No single step ends in this number: the whole sheet.</p>")
        told = "".join(_step(s) for s in (steps or item.steps)) or "<p>No step was written down for this item.</p>"
        html(scroll(told, "Steps"))
        ui.button("Close", on_click=shown.close).props("autofocus")
    shown.open()


def _step(step: Mapping[str, Any]) -> str:
    inputs, results = (f"<table class='facts small'>{_told(step.get(k) or {})}</table>" for k in ("inputs", "results"))
    return (
        f"<h3>{text(step.get('title'))}</h3><p><code>{text(step.get('formula'))}</code></p>"
        f"<p class='small soft'>{text(step.get('calculation'))}; {text(step.get('source'))}</p><div class='two'>{inputs}{results}</div>"
    )


def _told(held: Mapping[str, Any]) -> str:
    return "".join(f"<tr><td>{text(label(str(k)))}</td><td class='n'>{text(sentence(v, 5))}</td></tr>" for k, v in held.items())
