"""A screen whose words go to the disk as they are typed, so that a session that is cut off loses none of them."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, TypeVar

from broachplan.questions.acts import KeepDraftRequest
from tui.bases.asking import AskingScreen, Failed

if TYPE_CHECKING:
    from broachplan.crib.drafts import Draft

Result = TypeVar("Result")
DRAFTS = "drafts"


class DraftingScreen(AskingScreen[Result]):
    """Until a desk has kept them, the words are in the program's drafts."""

    def keep_draft(self, write: Callable[[Callable[[Draft], None]], None]) -> None:
        """Let ``write`` put its draft on the disk; if that fails a message says so, and leaving the program asks."""
        shop, desks, db = self.shop, self.desks, self.db

        def act() -> None:
            try:
                write(lambda draft: desks.send(db, KeepDraftRequest(draft=draft)))
            except Exception as error:
                shop.drafts.lost = desks.line_for(error)
                self.post_message(Failed(shop.drafts.lost, DRAFTS))
            else:
                shop.drafts.lost = ""

        # The program's worker and not the screen's, whose workers end with it.
        shop.run_worker(act, thread=True, exit_on_error=False, group=DRAFTS)
