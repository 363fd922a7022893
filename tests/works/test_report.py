"""The site report: a form to fill, and, answered, an order to look in."""

import io

from pypdf import PdfReader

from softseat.papers.frame import Frame
from softseat.papers.report import site_report, site_report_pdf
from softseat.works.why import questions, report_content, why

MAKER = {"name": "demonstration", "title": "Sample range", "invented": "yes"}
ANSWERS = {"place": "past_disc", "when": "new", "torque": ["jammed", "up"], "medium": "sea_water", "fitting": "disc_closed"}


def text_of(pdf):
    return " ".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages).replace("\n", " ")


def test_a_blank_form_holds_every_question_and_answer():
    pdf = site_report_pdf(Frame("site", MAKER), report_content({}, ()))
    said = " ".join(text_of(pdf).split())
    for answers in questions().values():
        for meaning in answers.values():
            assert meaning in said
    assert "What it can be" not in said
    assert len(PdfReader(io.BytesIO(pdf)).pages) == 1


def test_an_answered_report_names_causes_checks_and_cures(items):
    causes = why(ANSWERS, items["metal"])
    content = report_content(ANSWERS, causes, items["metal"], {"site": "#panic()", "date": "2027-03-04"})
    pdf = site_report_pdf(Frame("site", MAKER), content)
    said = " ".join(text_of(pdf).split())
    assert causes[0].failure == "Bolted with disc closed"
    for c in causes:
        assert " ".join(c.failure.split()) in said
    assert "Torque falls when the bolts are slackened" in said
    assert "#panic()" in said
    assert pdf == site_report_pdf(Frame("site", MAKER), content)


def test_what_does_not_fit_is_said_in_words(items):
    told = site_report(Frame("site", MAKER), report_content(ANSWERS, why(ANSWERS, most=9)))
    notes = " ".join(c["notes"] for c in told["causes"])
    assert "Does not fit: " in notes
    assert "how is it" not in notes
