"""Which lists of offers this station buys from."""

from __future__ import annotations

from broachplan.buying.offer_choice import OfferChoice
from broachplan.questions.offer_choice import KeepOfferChoiceRequest, OfferChoiceRequest
from broachplan.store.location import located
from broachplan.store.station import keep_offer_choice, kept_offer_choice


def offer_choice(db: str | None, _: OfferChoiceRequest) -> OfferChoice:
    """What was chosen last at this station for this crib; nothing is chosen at first."""
    return kept_offer_choice(located(db))


def keep_choice(db: str | None, request: KeepOfferChoiceRequest) -> OfferChoice:
    """Keep a choice in the user's data folder.

    Raises
    ------
    StorageError : the folder cannot be written to.
    """
    keep_offer_choice(located(db), request.choice)
    return request.choice
