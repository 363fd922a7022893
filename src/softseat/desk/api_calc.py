"""The HTTP interface to single calculations and to one item in words: nothing is kept."""

from typing import Annotated, Any

from fastapi import APIRouter, Body
from pydantic import BaseModel, ConfigDict, Field

from softseat.calculator import calculations, described, run
from softseat.desk.api import ERRORS, Here
from softseat.papers.record import plain

router = APIRouter(prefix="/api", responses=ERRORS)


class Words(BaseModel):
    """Free words, as said on the telephone."""

    model_config = ConfigDict(extra="forbid")
    words: str = Field(max_length=2000, examples=["sea water dn300 760 m3/h 6 bar 40C wafer lever"])


@router.post("/calc/{name}", operation_id="calculate")
def post_calc(name: str, inputs: Annotated[dict[str, Any], Body(examples=[{"bore": 0.3, "k": 0.5}])]) -> dict[str, Any]:
    """Any calculation: numbers in SI or texts with units; `/api/calc` lists them."""
    return run(name, inputs)


@router.get("/calc", operation_id="calculations")
def get_calcs() -> list[dict[str, Any]]:
    """Every calculation: inputs, outputs, units, source, an example."""
    return [described(c) for c in calculations().values()]


@router.post("/item", operation_id="phone")
def post_item(room: Here, said: Words) -> dict[str, Any]:
    """One item from free words; nothing is kept."""
    told: dict[str, Any] = plain(room.bench.phone(said.words)[1])
    return told
