"""Who is there: one form, without script."""

from fastapi import APIRouter

router = APIRouter()
