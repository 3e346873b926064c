"""What this run has saved, for the one who has to say what became of it when the output fails.

The store notes it where a transaction is committed and where a file gets its name; no command has to.
"""

from __future__ import annotations


class _Saved:
    words = ""


def begin() -> None:
    """A run begins: nothing is saved yet."""
    _Saved.words = ""


def note(words: str = "the change is saved") -> None:
    """Something is saved now, whatever comes after; ``words`` say what."""
    _Saved.words = words


def noted() -> str:
    """What was saved last since the run began; empty where nothing was."""
    return _Saved.words
