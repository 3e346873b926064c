"""The cautions of push broaching, in our words: on the screens at any time, and with a plan that has passes."""

from __future__ import annotations

from broachplan.tooling.drive import Drive

# Shown with every plan and on every screen of the machinist's.
SHORT = "Safety glasses on; hands clear of the ram; never pull a broach back."
DEFERS = "The responsible person decides."

_BEFORE: tuple[tuple[str, str], ...] = (
    (
        "Before anything moves",
        "Wear eye protection. Take off rings and watches and tie back loose sleeves. Go through the stroke in your mind: nothing may foul the ram, the broach or the hub.",
    ),
    (
        "While pressing",
        "Stand to the side. Keep hands out from under the ram and away from the broach. Never reach for a shim or a chip while the ram is live.",
    ),
    (
        "How a broach breaks",
        "Hardened steel breaks without warning when it is cocked, twisted or pushed from the side. Faces and ram square; start the cut, ease the ram off so that the broach lines itself up, then press slowly and evenly. If it cocks, stop and tap it back.",
    ),
    (
        "After the stroke",
        "Never pull a broach back through the cut. Let it drop on a soft pad, and keep hands and feet out of the drop.",
    ),
    (
        "Oil and chips",
        "Oil the teeth and the back before every pass. Brush chips off, away from the edges: no fingers, no air jet. Take the burr off before you gauge.",
    ),
    ("Putting away", "Store broaches so that no edge touches another."),
)
_SIGN_OF_FORCE = {
    Drive.HAND: "On a press worked by hand the feel is the only sign of the force: stop when it grows.",
    Drive.HYDRAULIC: "A hydraulic ram gives no feel: its gauge is the only sign of the force, so watch it.",
    Drive.NOT_KNOWN: "On a hydraulic press the gauge is the only sign of the force, on a hand press the feel.",
}
_LOADS = (
    "A plan's low force takes at most 70 percent of the rated force (from memory; the shop sets it), its high force at "
    "most all of it. The loads shown here are estimates: low for a sharp, oiled edge, high for a dulled one."
)
_AFTER: tuple[tuple[str, str], ...] = (
    (
        "Figures a shop sets itself",
        "How hard a hub may be (about 35 HRC for high-speed steel, from memory) and how much wall must stay over the keyway are in no book that was at hand: your shop decides.",
    ),
    (
        "Who decides",
        "In the United States 29 CFR 1910.212 is on machine guarding in general; 1910.217 is for mechanical power presses and leaves out hydraulic ones by name. Other places have their own rules. The local code and the responsible person of your shop decide, not a program.",
    ),
)


def work_cautions(drive: Drive) -> tuple[tuple[str, str], ...]:
    """All of them, each with its heading, as they suit the press at hand."""
    return (*_BEFORE, ("The press", f"{_SIGN_OF_FORCE[drive]} {_LOADS}"), *_AFTER)
