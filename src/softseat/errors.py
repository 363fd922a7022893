"""Mistakes of the caller or of the data. A valve that does not suit is a finding, never one of these."""


class SoftseatError(Exception):
    """Root of every error that this package raises on purpose: its text is one sentence for the user."""


class InputError(SoftseatError, ValueError):
    """An input cannot be used: says what, where, and what is allowed."""


class UnknownName(SoftseatError, KeyError):
    """A name that is not in the vocabulary, the registers or a table."""

    def __str__(self) -> str:  # a KeyError would print the repr of its argument
        return str(self.args[0]) if self.args else ""


class DataError(SoftseatError, ValueError):
    """The maker's data or a shipped table is wrong: names file, row, column and what is allowed."""


class StoreError(SoftseatError, OSError):
    """Something could not be kept or found again."""


class PaperError(SoftseatError, RuntimeError):
    """A paper could not be made."""
