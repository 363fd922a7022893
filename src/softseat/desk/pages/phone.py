"""The phone box: free words in; verdict, build, assumptions and the one question out, while typing."""

from collections.abc import Callable
from html import escape

from nicegui import ui

from softseat.desk.intake import say
from softseat.desk.marks import verdict_sign
from softseat.desk.pages.frame import Here, heard, html, tell, work
from softseat.enquiry.fieldtable import fields
from softseat.errors import SoftseatError
from softseat.papers.figures import sentence
from softseat.papers.texts import label, word
from softseat.selection.item import Assumption, Finding, Item

EXAMPLE = "sea water dn300 760 m3/h 6 bar 40C wafer lever"
UNSAID = ("quantity", "certificates", "test_standard")  # not for the telephone
PAUSE = 0.35  # seconds without a key before it is decided
TOLD = (("velocity", "velocity"), ("kv_full", "Kv, full open"), ("torque_required", "torque"), ("operator_margin", "operator over torque"))


def phone_box(at: Here, number: int | None = None, done: Callable[[int], None] | None = None) -> None:
    """The box; Enter makes the words an item, of this enquiry or of a new one."""
    turn = {"n": 0}
    box = ui.input(label="An item in your caller's words", placeholder=EXAMPLE).props(
        'outlined clearable autofocus autocomplete="off" spellcheck="false"'
    )
    box.classes("phone").style("width: 100%")
    html('<span class="small soft">Enter: make it an item of an enquiry. / : back to this box.</span>')
    out = ui.element("div").props('aria-live="polite" role="status"')

    async def look() -> None:
        turn["n"] += 1
        mine, words = turn["n"], (box.value or "").strip()
        item, why = None, ""
        if words:
            try:
                item = (await work(at.room.bench.phone, words))[1]
            except SoftseatError as error:
                why = str(error)
        if mine != turn["n"]:
            return  # newer words came meanwhile
        out.clear()
        with out:
            html(answered(item) if item else f'<p class="soft">{escape(why)}</p>' if why else "")

    async def keep() -> None:
        if not (box.value or "").strip():
            return
        if at.allowed():
            made = await work(say, at.room, at.who, box.value, number)
            tell("kept as an item")
            done(made) if done else ui.navigate.to(f"/enquiry/{made}")

    box.on("update:model-value", look, throttle=PAUSE, leading_events=False)
    box.on("keydown.enter", heard(keep))


def answered(item: Item) -> str:
    """What is said on the telephone, as HTML."""
    left = [f"<p>{verdict_sign(item.offered, big=True)}</p><p><b>{escape(item.sentence)}</b></p>", *_build(item)]
    if item.questions:
        left.append(f'<div class="ask"><b>Ask now:</b> {escape(item.questions[0].text)}{_taken(item.questions[0].assumed)}</div>')
    if item.other_family:
        left.append(f"<p>Look at: {escape(item.other_family['family'])}</p>")
    left += [_finding(f) for f in item.findings if f.severity in ("stop", "query", "condition")][:5]
    figures = [f"<tr><td>{said}</td><td class='n'>{escape(sentence(item.numbers[k]))}</td></tr>" for k, said in TOLD if k in item.numbers]
    right = [f'<table class="facts small">{"".join(figures)}</table>'] if figures else []
    assumed = [a for a in item.assumptions if a.field in fields() and a.field not in UNSAID]
    right += ["<h2>Assumed</h2>", *(_assumption(a) for a in assumed)]
    return f'<div class="phone-out"><div>{"".join(left)}</div><div>{"".join(right)}</div></div>'


def _build(item: Item) -> list[str]:
    c = item.choice
    if not c:
        return []
    parts = (
        c["size"],
        c["rating"],
        word(c["body_style"]),
        f"{word(c['liner_grade'])} liner",
        f"disc {word(c['disc'])}",
        f"shaft {c['shaft']}",
    )
    said = ", ".join((*parts, word(c["operator"]), str(c["drilling"])))
    return [f'<p>{escape(said)}<br><span class="soft small">{escape(c["build"])}</span></p>']


def _finding(f: Finding) -> str:
    where = "" if f.applies_to == "both" else f", as {f.applies_to}"
    return f'<p class="small">{f.severity}{where}: {escape(f.text)} <span class="soft">{f.rule}</span></p>'


def _assumption(a: Assumption) -> str:
    return f'<p class="small">{escape(label(a.field))} <b>{escape(a.value)}</b> <span class="soft">{escape(a.reason)}</span></p>'


def _taken(assumed: str) -> str:
    return f' <span class="soft">(taken until then: {escape(assumed)})</span>' if assumed else ""
