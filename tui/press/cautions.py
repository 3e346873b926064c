"""The cautions of one step at the press, as short imperatives in the order of doing. `/` shows all the others."""

from __future__ import annotations

CAUTION = "!"


def first_push(load: str) -> list[str]:
    """Before the first push of a hub: the set-up, the push, what to keep out of the way."""
    return [
        "Look over the broach. Broach in the slot, teeth to the slot mouth.",
        "1  Oil the teeth and the back.",
        "2  Ram square. Start light. Let the ram up: the broach lines itself up.",
        f"3  Push, slow and even.   {load}".rstrip(),
        f"{CAUTION}  Glasses on. Hands off the broach and out from under the ram.",
        f"{CAUTION}  If it leans: stop. Tap it back. Never pry it, never push on.",
        f"{CAUTION}  Ease off as it breaks through. Soft pad below; hands and feet clear.",
    ]


def next_push(load: str, *, shim: bool) -> list[str]:
    """Between two pushes of a hub: the ram is up and nobody holds the lever before a hand goes in."""
    wipe = "wipe the shim: a chip behind it cuts deep" if shim else "wipe the slot: a chip in it cuts deep"
    return [
        f"{CAUTION}  Ram up, hand off the lever, before you reach in. Brush the chips out,",
        f"   {wipe}.",
        f"1  Oil. Start light, let up, push.  {load}".rstrip(),
        f"{CAUTION}  Glasses on. Hands out from under the ram. If it leans: stop.",
        f"{CAUTION}  Ease off as it breaks through. Nothing in the drop but the pad.",
    ]


GAUGING = "Gauging: ram up, hub off, deburr both ends."
BOTH_ENDS = "Both ends: type the top, / and the bottom."
NEXT_HUB = f"{CAUTION}  Ram up, hand off the lever. Brush off the chips: no fingers, no air. Oil."
