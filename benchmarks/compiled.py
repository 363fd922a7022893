"""Settings of a fresh process that finds the sources compiled, as an installation leaves them."""

import contextlib
import os
import tempfile
from collections.abc import Iterator


@contextlib.contextmanager
def settings() -> Iterator[dict[str, str]]:
    """The environment, with a folder of its own for what Python compiles."""
    with tempfile.TemporaryDirectory() as folder:
        told = {**os.environ, "PYTHONPYCACHEPREFIX": folder}
        told.pop("PYTHONDONTWRITEBYTECODE", None)
        yield told
