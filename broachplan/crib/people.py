"""People by their names: one name typed in two ways is one person."""

from __future__ import annotations


def folded(name: str) -> str:
    """A name without case and spaces, by which names are compared; a name is kept as it was typed."""
    return "".join(name.casefold().split())
