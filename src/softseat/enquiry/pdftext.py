"""The text of a PDF page by page, its columns kept apart by blanks; a scanned page holds none."""

from pathlib import Path

from pypdf import PdfReader
from pypdf.errors import PyPdfError

from softseat.errors import InputError


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
    except (PyPdfError, OSError, ValueError, KeyError, IndexError) as error:
        raise InputError(f"{path.name} cannot be read as a PDF ({error})") from None
    if not any(page.strip() for page in pages):
        raise InputError(f"{path.name} holds no text: a scan has to be typed, or read by a machine, first")
    return pages
