"""A web typed as a reading over a broach: worked out with the broach's height, and kept with both."""

from __future__ import annotations

from collections.abc import Mapping

from broachplan.crib.words import LONGEST_WORDS, read_within
from broachplan.cut.how_measured import FINEST, within
from broachplan.errors import InputError
from broachplan.lengths import Length, write_exact
from broachplan.store.settings_store import load_settings
from broachplan.store.states import pieces_with_tags
from broachplan.store.stored_pieces import unknown
from broachplan.store.transaction import Work
from broachplan.tooling.figures import Kind
from broachplan.tooling.web_over import OVER_BROACH, WebOver, is_over, read_over

_MICROMETER = FINEST.removeprefix("error_")


def web_worked_out(work: Work, texts: Mapping[str, str]) -> dict[str, str]:
    """The lines of a bushing with the web in place of a reading over a broach, and how it was measured.

    The web is known as well as reading and height together: what the reading is known to is what is typed, else what a
    micrometer is good for.

    Raises
    ------
    InputError : no such broach, or its height over that tooth is not known, or the reading is less.
    """
    if not is_over(texts.get("web", "")):
        return dict(texts)
    over = read_over(texts["web"])
    height, broach_to = _height(work, over)
    typed = texts.get("measured_with", "").strip()
    with_what = typed or _MICROMETER
    reading_to = within(
        with_what, read_within(texts.get("measured_to", ""), "measured to"), load_settings(work)
    )
    words = f"{with_what} {over.words(height)}"
    if len(words) > LONGEST_WORDS:
        raise InputError(
            "measured with", f"at most {LONGEST_WORDS - len(words) + len(typed)} characters", read=typed
        )
    return {
        **texts,
        "web": write_exact(over.web(height)),
        "measured_with": words,
        "measured_to": write_exact(Length(reading_to.nm + broach_to)),
    }


def web_measured_anew(texts: Mapping[str, str], before: str) -> dict[str, str]:
    """The lines of a change; where another web is given, what was kept of a reading over a broach holds no more."""
    if "web" not in texts or "measured_with" in texts or OVER_BROACH not in before:
        return dict(texts)
    return {"measured_to": "", **texts, "measured_with": ""}


def _height(work: Work, over: WebOver) -> tuple[Length, int]:
    """The height over the tooth, and to within how many nm it is known."""
    found = pieces_with_tags(work, Kind.BROACH, [over.broach])
    if not found:
        problem = unknown(work, over.broach)
        raise InputError(
            "web",
            f"take the broach in first; {problem.right}",
            read=over.broach,
            fault=", which no broach in the crib has",
        )
    record = found[0].record
    height: Length | None = getattr(record.piece, over.tooth.height)
    if height is None:
        raise InputError("web", f"measure the height over its {over.tooth} tooth first", shown=over.broach)
    measured = record.measured
    return height, within(measured.with_what, measured.to, load_settings(work)).nm
