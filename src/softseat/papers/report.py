"""Site report: the six questions to tick, and, where they are answered, the causes in order with the check of each."""

from collections.abc import Mapping
from typing import Any

from softseat.papers.frame import Frame
from softseat.papers.texts import clean, text, titled, word
from softseat.papers.typeset import Press

WORDS = ("site", "serial", "date", "reported_by", "remarks")
LINES = 4  # blank lines for what was found


def site_report(frame: Frame, content: Mapping[str, Any]) -> dict[str, Any]:
    """What the report prints; without answers it is the form to be filled by hand.

    Parameters
    ----------
    frame : Frame
        Maker, order and page.
    content : mapping
        From ``works.why.report_content``.
    """
    words = content["words"]
    valve = [[titled(k), word(v)] for k, v in content["valve"].items() if v]
    return frame.around(
        "site-report",
        tag=content["tag"],
        valve=valve,
        words=[[text(f"site-report.word.{k}"), clean(words.get(k, ""))] for k in WORDS],
        questions=content["questions"],
        causes=[_cause(c) for c in content["causes"]],
        blank=LINES,
    )


def _cause(cause: Mapping[str, Any]) -> dict[str, Any]:
    told = {k: clean(cause[k]) for k in ("failure", "apart", "cure", "source")}
    against = text("site-report.against", said=_listed(cause["against"])) if cause["against"] else ""
    warned = text("site-report.warned", rules=cause["warned"]) if cause["warned"] else ""
    return {"n": str(cause["n"]), "id": cause["id"], **told, "notes": " ".join(n for n in (against, warned) if n)}


def _listed(said: str) -> str:
    return ", ".join(text(f"site-report.q.{part}") if part in ("place", "when", "torque", "opening", "medium", "fitting") else part
                     for part in said.split(", "))  # fmt: skip


def site_report_pdf(frame: Frame, content: Mapping[str, Any]) -> bytes:
    """The report as PDF; the same content gives the same bytes."""
    with Press() as press:
        return press.set("site-report", site_report(frame, content))
