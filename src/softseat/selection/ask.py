"""What has to be asked of one item: each question with what is assumed until it is answered."""

from collections.abc import Mapping

import numpy as np

from softseat.enquiry.fieldtable import fields
from softseat.register import CANNOT_SAY, HOLDS
from softseat.selection.decide import Decision
from softseat.selection.item import Assumption, Question
from softseat.selection.words import told
from softseat.sheet import ASSUMED, Sheet

# which field answers which rule that cannot say, or that stands as a query
ANSWERS = {
    "R001": "", "R002": "p_design", "R003": "flow", "R004": "flow", "R005": "tag", "R006": "quantity", "R008": "t_max",
    "R009": "p1", "R011": "p1",
    "R014": "medium", "R017": "quantity", "R021": "t_max", "R022": "t_min", "R038": "medium", "R041": "oil", "R049": "concentration",
    "R061": "oil", "R101": "medium", "R162": "flash_point", "R165": "hydrogen", "R210": "test_standard",
}  # fmt: skip
SPOKEN = {
    "R003": "The flow has no unit: m3/h, l/s or gpm?",
    "R004": "The flow gives an impossible velocity in this size: which flow, unit and size are meant?",
    "R005": "The tag stands twice with different data: which line is right, and what is the other tag?",
    "R006": "The tag stands twice with the same data: one valve or two?",
    "R008": "The temperature is not plausible for a rubber: a slip of the decimal point or of the unit?",
    "R009": "State, pressure and temperature do not fit: gauge or absolute, which temperature?",
    "R041": "Is the compressed air oil-free (ISO 8573-1 class), or is oil carried over?",
    "R061": "How much fat or oil, always or at times?",
    "R220": "Which pipe: material, wall or schedule, lining, and its bore?",
    "R165": "How much hydrogen is in the gas, and can the mixture burn?",
    "R101": "Dilute or dense conveying?",
}
ORDER = ("medium", "oil", "t_max", "t_min", "p1", "flow", "concentration", "pipe_bore")


def questions(decision: Decision, n: int) -> tuple[Question, ...]:
    """The questions of one item, those that decide first."""
    found = [*_from_rules(decision, n), *_from_assumptions(decision, n)]
    seen: dict[str, Question] = {}
    for question in found:
        seen.setdefault(question.field, question)
    return tuple(seen.values())


def _from_rules(decision: Decision, n: int) -> list[Question]:
    found = []
    for id, field in ANSWERS.items():
        asked, offered = decision.judged_asked[id][n], decision.judged_offered[id][n]
        query = id in ("R002", "R003", "R004", "R005", "R006", "R008", "R009", "R011", "R014", "R017")
        if (query and HOLDS in (asked, offered)) or (not query and id != "R001" and CANNOT_SAY in (asked, offered)):
            found.append(Question(field, _text(decision, id, field, n)))
    if HOLDS in (decision.judged_asked["R220"][n], decision.judged_offered["R220"][n]):
        found.append(Question("pipe_bore", SPOKEN["R220"]))
    if decision.judged_asked["R001"][n] == HOLDS:
        missing = str(decision.asked["missing_must"][n]).split(", ")
        names = {"highest pressure": "p_max", "temperature": "t_max", "size": "size", "medium": "medium"}
        found = [Question(names.get(m, m), _field_question(names.get(m, m))) for m in missing] + found
    return found


def _text(decision: Decision, id: str, field: str, n: int) -> str:
    if id == "R014":
        return f'"{decision.asked["medium"][n]}": {decision.asked["medium_question"][n]}'
    return SPOKEN.get(id, _field_question(field))


def _field_question(field: str) -> str:
    known = fields()
    text = known[field].question if field in known else ""
    return text[:1].upper() + text[1:] if text else f"Please state: {field.replace('_', ' ')}."


ASKED_OF_ASSUMED = ("medium", "flow", "t_max", "t_min", "p_max", "air_min", "rating")
QUIET = ("air_min",)  # asked only where an operator depends on it


def _from_assumptions(decision: Decision, n: int) -> list[Question]:
    sheet = decision.asked
    found = []
    for name in ASKED_OF_ASSUMED:
        if sheet.state[name][n] != ASSUMED:
            continue
        if name == "medium" and sheet.why.get((n, name), "").startswith('read from the service "'):
            continue  # the service names it: that is an assumption, not a question
        if name in QUIET and not str(decision.offered["operator"][n]).startswith("pneumatic"):
            continue
        found.append(Question(name, _field_question(name), assumed=_assumed(sheet, name, n)))
    length = sheet["pipe_length"][n]
    if sheet["is_liquid"][n] and not np.isnan(sheet["stroke_time"][n]) and np.isnan(length):
        found.append(Question("pipe_length", _field_question("pipe_length")))
    if str(sheet["duty"][n]) in ("control", "throttle") and np.isnan(sheet["p2"][n]) and np.isnan(sheet["drop"][n]):
        found.append(Question("p2", _field_question("p2")))
    return found


def _assumed(sheet: Sheet, name: str, n: int) -> str:
    return told(sheet, name, n)


def assumptions(sheet: Sheet, n: int, why: Mapping[str, str]) -> tuple[Assumption, ...]:
    """What was assumed for one item, with the reason."""
    return tuple(Assumption(name, told(sheet, name, n), reason) for name, reason in why.items() if name in sheet)
