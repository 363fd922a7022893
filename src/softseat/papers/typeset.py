"""One compiler for all papers: data in as JSON, never as markup, so that no text of the user is ever run."""

import json
from collections.abc import Mapping
from importlib.resources import as_file, files
from pathlib import Path
from typing import Any, Self

import typst

from softseat.errors import PaperError

BOOK = 60  # sections from which a paper is a book: tags for screen readers cost a third of the time there
AGE = 32  # the compiler keeps what it laid out until it was not used for that many papers (measured): 4 MB a datasheet


class Press:
    """Sets papers from the templates of the package; fonts come with the compiler, none of the machine's."""

    def __enter__(self) -> Self:
        self._held = as_file(files("softseat.papers") / "typst")
        self._folder: Path = self._held.__enter__()
        self._compiler = typst.Compiler(root=str(self._folder), ignore_system_fonts=True, sys_inputs={"data": "{}"})
        self._full = False
        return self

    def __exit__(self, *error: object) -> None:
        self._held.__exit__(None, None, None)

    def set(self, template: str, data: Mapping[str, Any], sections: int = 1) -> bytes:
        """A PDF from one template; the same data give the same bytes."""
        if self._full and sections >= BOOK:
            self._forget()
            self._full = False
        told = json.dumps(data, ensure_ascii=False, allow_nan=False, default=str)
        try:
            made = self._compiler.compile(
                input=str(self._folder / f"{template}.typ"), format="pdf", sys_inputs={"data": told}, pdf_tags=sections < BOOK
            )
        except (RuntimeError, ValueError) as error:
            raise PaperError(f"{template}.pdf could not be set: {error}") from error
        if not isinstance(made, bytes):
            raise PaperError(f"{template}.pdf could not be set: the compiler gave no file")
        self._full = self._full or sections >= BOOK
        return made

    def _forget(self) -> None:
        """Empty papers until the memory of a volume is free for the next: half a second for 200 sheets, so only where one follows."""
        for _ in range(AGE):
            self._compiler.compile(input=b"", format="pdf")
