"""Lettering: how large, how long, and how a figure is printed."""

TEXT_HEIGHT = 2.5  # ISO 3098: the least height that stays readable on a copy [mm]
ADVANCE = 0.826  # pitch of a character over the height of its capitals, fixed-pitch lettering


def text_width(text: str, height: float = TEXT_HEIGHT) -> float:
    """Length of a line of lettering on paper [mm]."""
    return len(text) * ADVANCE * height


def fitted(text: str, width: float, height: float = TEXT_HEIGHT) -> str:
    """As much of a text as fits the width, with an ellipsis where it was cut."""
    room = max(int(width / (ADVANCE * height)), 1)
    return text if len(text) <= room else text[: room - 1].rstrip() + "…"


def figure(value: float) -> str:
    """A dimension as printed: to a tenth of a millimetre, no idle zero."""
    return f"{round(value, 1):.10g}"


def broken(line: str, width: float) -> list[str]:
    """A line in pieces that fit the width, broken between words."""
    pieces, current = [], ""
    for piece in line.split():
        trial = f"{current} {piece}".strip()
        if current and text_width(trial) > width:
            pieces.append(current)
            current = piece
        else:
            current = trial
    return [*pieces, fitted(current, width)]
