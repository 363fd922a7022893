"""The HTTP interface to the time after the order: complaints and histories of strokes; nothing is kept."""

from dataclasses import asdict
from typing import Any

from fastapi import APIRouter
from pydantic import BaseModel, ConfigDict, Field

from softseat.desk.api import ERRORS
from softseat.papers.record import plain
from softseat.works.history import read_history
from softseat.works.watch import watch
from softseat.works.why import questions, why

router = APIRouter(prefix="/api", responses=ERRORS)


class Complaint(BaseModel):
    """Answers to the six questions; several to one question are allowed."""

    model_config = ConfigDict(extra="forbid")
    answers: dict[str, list[str]] = Field(examples=[{"place": ["hub"], "when": ["years"], "torque": ["up"]}])


class Strokes(BaseModel):
    """A log of strokes as text, one row a stroke, with a heading row that tells the units."""

    model_config = ConfigDict(extra="forbid")
    history: str = Field(max_length=5_000_000, examples=["stroke,stroke time [s]\n1,10.1\n2,10.0\n"])


@router.get("/why", operation_id="questions")
def get_why() -> dict[str, dict[str, str]]:
    """The six questions of a complaint and the answers that are told apart."""
    return questions()


@router.post("/why", operation_id="causes")
def post_why(complaint: Complaint) -> list[dict[str, Any]]:
    """Causes in the order of fit, each with the check that tells it from the next, and the cure. The weight is no probability."""
    return [asdict(c) for c in why(complaint.answers)]


@router.post("/watch", operation_id="drifts")
def post_watch(strokes: Strokes) -> dict[str, Any]:
    """What drifts in a log of strokes, how many strokes are left, and what the log cannot tell."""
    told: dict[str, Any] = plain(asdict(watch(read_history(strokes.history))))
    return told
