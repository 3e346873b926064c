"""Where somebody is in the guided first crib, as a value: what was answered, and what is asked now.

The order is that of the work: the hub that is wanted today, the bushing with its web, the broach, the shims, the hub's
plan; then the rest of the box. Nothing is forgotten on the way: each answer is in here, and so is the last piece of
each kind, with which the next one is compared. As plain words it goes to the station's disk after every answer.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum

from broachplan.errors import InputError, quoted
from broachplan.lengths import parse_length
from broachplan.questions.hub import FORM_LINES, PlanRequest
from broachplan.questions.line import Line, asked, chosen
from broachplan.questions.piece import KIND, SLOT_DEPTH, TAG, WORDS, AddRequest, figure_lines
from broachplan.tooling.figures import Kind
from broachplan.tooling.pieces import FIGURES
from broachplan.tooling.tags import next_tag
from broachplan.tooling.web_over import is_over

# Not known, none, no more of them.
NONE = "-"
_WEB = "web"
MEASURED_WITH = replace(
    chosen(WORDS, "measured_with")[0],
    hint="(micrometer, height gauge, caliper)",
    help="With what these were measured.",
)
# As the last piece of the kind had it.
SAME = "="
_TAG_PREFIXES = {
    Kind.BROACH: "BR",
    Kind.BUSHING: "GU",
    Kind.SHIM: "SH",
    Kind.PRESS: "PR",
    Kind.PIN: "PP",
    Kind.RING: "RG",
}


class Stage(StrEnum):
    """What is asked for, in the order of the work."""

    HUB = "hub"
    BUSHING = "bushing"
    BROACH = "broach"
    WEB = "web"
    SHIMS = "shims"
    PLAN = "plan"
    REST = "rest"

    @property
    def next(self) -> Stage:
        """The stage after it; the rest of the box has no end."""
        stages = list(Stage)
        return stages[min(stages.index(self) + 1, len(stages) - 1)]


_KIND_OF = {
    Stage.BUSHING: Kind.BUSHING,
    Stage.BROACH: Kind.BROACH,
    Stage.WEB: Kind.BUSHING,
    Stage.SHIMS: Kind.SHIM,
}
_TITLES = {
    Stage.HUB: "1 of 5: the hub that is wanted today",
    Stage.BUSHING: "2 of 5: a bushing for its bore",
    Stage.BROACH: "3 of 5: the broach",
    Stage.WEB: "3 of 5: the web of the bushing, which is still to be measured",
    Stage.SHIMS: "4 of 5: the shims, one after another",
    Stage.PLAN: "5 of 5: the plan",
    Stage.REST: "the rest of the box",
}


@dataclass(frozen=True, slots=True)
class Guide:
    """One way through the guided first crib.

    ``hub`` holds the hub's answers, ``values`` those of the piece that is asked for, ``last`` the answers for the last
    piece of each kind that was taken in. ``rest`` is the kind chosen in the rest of the box; ``sent`` that the piece as
    answered is being taken in, which a session that is cut off then cannot know the end of. No tag that is ``taken`` is
    offered.
    """

    stage: Stage = Stage.HUB
    hub: Mapping[str, str] = field(default_factory=dict)
    values: Mapping[str, str] = field(default_factory=dict)
    last: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    rest: str = ""
    sent: bool = False
    taken: frozenset[str] = frozenset()

    def __bool__(self) -> bool:
        """Whether anything was answered."""
        return bool(self.hub or self.values or self.last)

    @property
    def kind(self) -> Kind | None:
        """The kind of piece that is asked for; None at the hub and where a kind is still to be chosen."""
        if self.stage is Stage.REST:
            return Kind(self.rest) if self.rest else None
        return _KIND_OF.get(self.stage)

    @property
    def title(self) -> str:
        """Where this is."""
        return _TITLES[self.stage]

    @property
    def lines(self) -> tuple[Line, ...]:
        """What is asked now, in order; nothing at the plan."""
        if self.stage is Stage.HUB:
            return chosen(FORM_LINES, "bore", "hub_length", "key", "material")
        if self.stage is Stage.PLAN:
            return ()
        if self.stage is Stage.WEB:
            return tuple(line for line in piece_questions(Kind.BUSHING) if line.name == _WEB)
        return (KIND,) if self.kind is None else piece_questions(self.kind)

    @property
    def answers(self) -> Mapping[str, str]:
        """What was answered of this."""
        return self.hub if self.stage is Stage.HUB else self.values

    @property
    def next_line(self) -> Line | None:
        """The first line without an answer."""
        return next((line for line in self.lines if line.name not in self.answers), None)

    @property
    def plan(self) -> PlanRequest:
        """The question of the hub."""
        return asked(PlanRequest, {name: text for name, text in self.hub.items() if text != NONE})

    def add(self, by: str = "", *, sure: bool = False) -> AddRequest:
        """The request that takes in the piece as answered; a figure that is not known is left out."""
        values = {name: text for name, text in self.values.items() if text not in ("", NONE)}
        tag, depth = values.pop(TAG.name, ""), values.pop(SLOT_DEPTH.name, "")
        return AddRequest(kind=self.kind or "", tag=tag, values=values, slot_depth=depth, sure=sure, by=by)

    def offered(self, name: str) -> str:
        """What a line is answered with where nothing is typed: the tags number on, and what the last piece was measured with.

        No figure is ever taken by itself.
        """
        if name == MEASURED_WITH.name:
            return self._measured_with
        if name != TAG.name or self.kind is None:
            return ""
        last = self.last.get(self.kind, {}).get(TAG.name, "")
        tag = next_tag(last) if last else f"{_TAG_PREFIXES[self.kind]}-1"
        while tag in self.taken:
            tag = next_tag(tag)
        return tag

    @property
    def _measured_with(self) -> str:
        """With what the last piece of all was measured; empty where nobody said it."""
        said = [its.get(MEASURED_WITH.name, "") for its in self.last.values()]
        return said[-1].replace(NONE, "") if said else ""

    def same(self, name: str) -> str:
        """What the last piece of the kind has in a line; empty where there is none."""
        if name in (TAG.name, MEASURED_WITH.name) or self.kind is None:
            return ""
        found = self.last.get(self.kind, {}).get(name, "")
        return "" if found == NONE else found

    def reason_against(self, line: Line, text: str) -> str:
        """Why a text will not do as an answer; empty where it will."""
        if line.name == TAG.name and _is_length(text):
            return f"{TAG.name}: read {quoted(text)}, which is a size; type the mark on the piece"
        if text == NONE and self.takes_none(line):
            return ""
        return replace(line, choices=()).reason_against(text, self.answers)

    def takes_none(self, line: Line) -> bool:
        """Whether a line may be answered with "not known": any figure of a piece, and what of the hub is not needed."""
        return not line.needed or (self.kind is not None and line.name != TAG.name)

    def answered(self, name: str, text: str) -> Guide:
        """With an answer to a line; one that was given before is given anew."""
        values = {**self.answers, name: text}
        return self._with(values)

    def filled(self, values: Mapping[str, str]) -> Guide:
        """With all answers of this at once, as a form holds them; an empty one is none."""
        kept = {line.name: values.get(line.name, "").strip() for line in self.lines}
        kept = {name: text for name, text in kept.items() if text}
        return self._with(kept)

    def _with(self, answers: Mapping[str, str]) -> Guide:
        """With other answers in place of those of this."""
        if self.stage is Stage.HUB:
            return replace(self, hub=answers)
        return replace(self, values=answers, sent=False)

    def without(self, name: str) -> Guide:
        """Without an answer to a line and all lines after it, so that it is asked again."""
        names = [line.name for line in self.lines]
        before = names[: names.index(name)]
        kept = {each: text for each, text in self.answers.items() if each in before}
        return self._with(kept)

    def asked_again(self, name: str) -> Guide:
        """Without the answer to one line alone."""
        kept = {each: text for each, text in self.answers.items() if each != name}
        return self._with(kept)

    def back(self) -> Guide:
        """One answer back: within this, else to the hub."""
        given = [line.name for line in self.lines if line.name in self.answers]
        if given:
            return self.asked_again(given[-1])
        if self.stage is Stage.REST and self.rest:
            return replace(self, rest="", values={})
        return self.at(Stage.HUB).back() if self.stage not in (Stage.HUB, Stage.REST) else self

    def at(self, stage: Stage) -> Guide:
        """At another stage, with nothing answered of it yet but the hub."""
        return replace(self, stage=stage, values={}, rest="", sent=False)

    def of_kind(self, kind: Kind) -> Guide:
        """In the rest of the box, at a piece of a kind."""
        return replace(self, stage=Stage.REST, values={}, rest=kind.value)

    def taken_in(self) -> Guide:
        """After the piece was taken in: another of its kind is asked for where there may be several."""
        if self.kind is None:
            return self
        if self.stage is Stage.WEB:
            bushing = {**self.last.get(Kind.BUSHING, {}), **self.values}
            return replace(self, last={**self.last, Kind.BUSHING.value: bushing}).at(Stage.SHIMS)
        # The kind of the last piece comes last.
        others = {kind: its for kind, its in self.last.items() if kind != self.kind.value}
        last = {**others, self.kind.value: dict(self.values)}
        done = replace(
            self, last=last, values={}, sent=False, taken=self.taken | {self.values.get(TAG.name, "")}
        )
        if self.stage in (Stage.SHIMS, Stage.REST):
            return done
        return done._after_broach() if self.stage is Stage.BROACH else done.at(self.stage.next)

    def _after_broach(self) -> Guide:
        """To the web where it was left for later, or was read over a broach that was not in the crib; else to the shims."""
        web = self.last.get(Kind.BUSHING, {}).get(_WEB, NONE)
        if not self.bushing or (web != NONE and not is_over(web)):
            return self.at(Stage.SHIMS)
        return replace(self.at(Stage.WEB), values={_WEB: web} if is_over(web) else {})

    @property
    def bushing(self) -> str:
        """The tag of the bushing that was taken in last; empty where there is none."""
        return self.last.get(Kind.BUSHING, {}).get(TAG.name, "")

    def no_more(self) -> Guide:
        """No more of what is asked for: on to the next stage, in the rest of the box to another kind."""
        if self.stage is Stage.REST:
            return replace(self, rest="", values={})
        return self._after_broach() if self.stage is Stage.BROACH else self.at(self.stage.next)


def piece_questions(kind: Kind) -> tuple[Line, ...]:
    """What is asked of a piece: its tag and the figures that a plan cannot do without, else all that it has.

    The web comes last, after the slot depth that it is checked with. A line that is ``needed`` wants an answer, if only
    that it is not known.
    """
    figures = [figure for figure in FIGURES[kind] if figure.needed] or list(FIGURES[kind])
    lines = [
        replace(line, hint=line.hint.replace("plans need it; ", ""), needed=figure.needed)
        for line, figure in zip(
            chosen(figure_lines(kind), *(one.name for one in figures)), figures, strict=True
        )
    ]
    checks = (SLOT_DEPTH,) if kind is Kind.BUSHING else ()
    web = tuple(line for line in lines if line.name == _WEB)
    return (TAG, *(line for line in lines if line.name != _WEB), *checks, *web, MEASURED_WITH)


def _is_length(text: str) -> bool:
    try:
        parse_length(text)
    except InputError:
        return False
    return True


def as_words(guide: Guide) -> dict[str, str]:
    """A guide as plain words, for the station's disk; empty where nothing was answered."""
    if not guide:
        return {}
    return {
        "stage": guide.stage.value,
        "rest": guide.rest,
        **({"sent": "yes"} if guide.sent else {}),
        **{f"hub.{name}": text for name, text in guide.hub.items()},
        **{f"value.{name}": text for name, text in guide.values.items()},
        **{f"last.{kind}.{name}": text for kind, its in guide.last.items() for name, text in its.items()},
    }


def from_words(words: Mapping[str, str]) -> Guide:
    """The guide that `as_words` wrote; what is not one of its lines is left out, for anybody may have changed the file."""
    kinds = [kind.value for kind in Kind]
    rest = words.get("rest", "")
    stage = Stage(words["stage"]) if words.get("stage") in list(Stage) else Stage.HUB
    guide = Guide(stage, rest=rest if rest in kinds else "")
    hub = {line.name for line in Guide().lines}
    guide = replace(guide, hub=_of(words, "hub.", hub))
    guide = replace(guide, values=_of(words, "value.", {line.name for line in guide.lines}))
    last = {
        kind: _of(words, f"last.{kind}.", {line.name for line in piece_questions(Kind(kind))})
        for kind in kinds
    }
    return replace(
        guide, last={kind: its for kind, its in last.items() if its}, sent=words.get("sent") == "yes"
    )


def _of(words: Mapping[str, str], prefix: str, names: set[str]) -> dict[str, str]:
    found = {key.removeprefix(prefix): text for key, text in words.items() if key.startswith(prefix)}
    return {name: text for name, text in found.items() if name in names}
