"""Page."""


def lay() -> None:
    """Register."""
