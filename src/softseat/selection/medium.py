"""What the media table says of each item's medium: phase, hazards, group; arrays over items."""

import numpy as np

from softseat.media.table import table
from softseat.sheet import DERIVED, MISSING, Sheet

ITEM_MEDIA = 6  # columns medium_id_0 ... medium_id_5


def medium_columns(sheet: Sheet) -> Sheet:
    """The Sheet with phase, hazards and pressure-equipment group of its media (the worst of the parts)."""
    media = table()
    rows = media.rows(sheet["medium_id"])
    there = rows >= 0
    state = np.where(there, DERIVED, MISSING).astype(np.uint8)
    sheet = sheet.adding(
        state,
        medium_phase=np.where(there, media.phase[rows], ""),
        medium_flash=np.where(there, media.flash_point[rows], np.nan),
        medium_group=np.where(there, media.fluid_group[rows], np.nan),
        medium_ph_min=np.where(there, media.ph_min[rows], np.nan),
        medium_ph_max=np.where(there, media.ph_max[rows], np.nan),
        medium_t_max=np.where(there, media.t_max[rows], np.nan),
        medium_certainty=np.where(there, media.certainty[rows], ""),
    )
    worst = {name: np.zeros(len(sheet)) for name in ("flammable", "toxic", "plasticiser_drawn")}
    for k in range(ITEM_MEDIA):
        part = media.rows(sheet[f"medium_id_{k}"])
        product = (part >= 0) & (k < np.maximum(sheet["product_count"], 1))
        for name, so_far in worst.items():
            worst[name] = np.maximum(so_far, np.where(product, getattr(media, name)[part], 0))
    return sheet.adding(
        state,
        flammable=worst["flammable"],
        toxic=worst["toxic"],
        draws=worst["plasticiser_drawn"] >= 1,
    )
