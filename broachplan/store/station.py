"""What a station keeps of a crib for itself, in the user's data folder: which lists of offers it buys from."""

from __future__ import annotations

import json
from contextlib import suppress

from broachplan import places
from broachplan.buying.offer_choice import OfferChoice
from broachplan.errors import StorageError, quoted
from broachplan.private import make_private_folder
from broachplan.store.drafts import crib_name
from broachplan.store.location import Location, reason
from broachplan.store.whole_file import take_place, written_beside

_FOLDER = "station"


def keep_offer_choice(location: Location, choice: OfferChoice) -> None:
    """Write the choice over the one before it.

    Raises
    ------
    StorageError : the user's data folder cannot be written to.
    """
    folder = places.user_folder() / _FOLDER
    path = folder / f"{crib_name(location)}.json"
    written = {
        "lists": list(choice.lists),
        "without": list(choice.without),
        "budget": choice.budget,
        "measure": choice.measure,
    }
    try:
        make_private_folder(folder)
        with written_beside(path, json.dumps(written).encode()) as made:
            take_place(made, path)
    except OSError as error:
        name = quoted(str(folder), most=200)
        raise StorageError(f"{name} cannot be written to: {reason(error)}") from error


def kept_offer_choice(location: Location) -> OfferChoice:
    """The choice; one that is not there, or that somebody spoilt, is empty."""
    path = places.user_folder() / _FOLDER / f"{crib_name(location)}.json"
    with suppress(OSError, ValueError, TypeError, RecursionError):
        match json.loads(path.read_bytes()):
            case {
                "lists": list(lists),
                "without": list(without),
                "budget": str(budget),
                "measure": bool(measure),
            } if all(isinstance(each, str) for each in (*lists, *without)):
                return OfferChoice(tuple(lists), tuple(without), budget, measure)
    return OfferChoice()
