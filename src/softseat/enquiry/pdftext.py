"""The text of a PDF page by page, its columns kept apart by blanks; a scanned page holds none."""

import logging
from pathlib import Path

from pypdf import PdfReader

from softseat.errors import InputError

logging.getLogger("pypdf").addHandler(logging.NullHandler())  # it tells of every fault that it gets over: one sentence is enough


def pdf_text(path: Path) -> list[str]:
    """Text of each page.

    Raises
    ------
    InputError
        Where the file is no PDF, is locked, or holds no text at all.
    """
    try:
        reader = PdfReader(path)
        if reader.is_encrypted and not reader.decrypt(""):
            raise InputError(f"{path.name} is locked by a password")
        pages = [page.extract_text(extraction_mode="layout") for page in reader.pages]
    except InputError:
        raise
    except Exception as error:  # a damaged file makes the library stumble anywhere
        raise InputError(f"{path.name} cannot be read as a PDF ({str(error)[:120] or type(error).__name__})") from None
    if not any(page.strip() for page in pages):
        raise InputError(f"{path.name} holds no text: a scan has to be typed, or read by a machine, first")
    return pages
