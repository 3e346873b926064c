"""A kind of piece as it is typed."""

from __future__ import annotations

from broachplan.errors import InputError
from broachplan.tooling.figures import Kind


def kind_named(text: str) -> Kind:
    """A kind by its name, in the singular or the plural.

    Raises
    ------
    InputError : it is none.
    """
    for kind in Kind:
        if text.strip().lower() in (kind.value, kind.plural):
            return kind
    raise InputError("kind", f"there are: {', '.join(Kind)}", read=text)
