"""What is done at the press: one request for each act of a run, as typed. Options, forms and checks derive from it.

``step`` is the last step that the person saw: where another one was confirmed since, nothing is written.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from broachplan.questions import choices, kinds
from broachplan.questions.hub import HubQuestion
from broachplan.questions.line import as_typed, line, lines_of, unneeded


def _run() -> Any:
    about = "The run, by its number or its code (R7-K3QX)."
    return line("Run", kinds.RUN, about, hint="(its number or code)", needed=True, positional=True)


def _step() -> Any:
    return line("Step", kinds.NUMBER, "The last step you saw; refused where there is another one since.")


def _by() -> Any:
    return line("By", kinds.NAME, "Who does it: any name.", hint="(who is at the press)")


def _why(*, needed: bool = True) -> Any:
    return line("Why", kinds.NOTE, "The reason, kept with the step.", hint="(the reason)", needed=needed)


def _hub(about: str = "The hub, by its number.", *, needed: bool = True) -> Any:
    return line("Hub", kinds.NUMBER, about, needed=needed)


def _shims(about: str) -> Any:
    return line("Shims", kinds.STACK_TAGS, about, hint="(tags with commas, or none)")


def _measured() -> Any:
    return line("Reads", kinds.LENGTH, "What the gauge reads.", option="--measured", what="measured")


def _top() -> Any:
    return line(
        "Reads at top", kinds.LENGTH, "What it reads where the broach enters.", option="--top", what="top"
    )


def _bottom() -> Any:
    about = "What it reads where the broach comes out."
    return line("Reads at bottom", kinds.LENGTH, about, option="--bottom", what="bottom")


def _gauge() -> Any:
    about = "The gauge or tool that it was measured with."
    return line("With", kinds.WITH_WHAT, about, option="--with", what="with")


@dataclass(frozen=True, slots=True, kw_only=True)
class RunStartRequest(HubQuestion):
    """Start a run of a hub: the pieces of its best plan, or of the pair that is named, are lent for it.

    With ``job`` and no line of the hub it is a run of that job of the list of coming work, and takes its question, press,
    drawing and quantity; beside a hub ``job`` is words.
    """

    bore: str = unneeded(HubQuestion, "bore")
    hub_length: str = unneeded(HubQuestion, "hub_length")
    press: str = line(
        "Press", kinds.TAG, "The press to use; else the smallest that fits.", hint="(the smallest)"
    )
    broach: str = line("Broach", kinds.TAG, "The broach to use; else that of the best plan.")
    bushing: str = line("Bushing", kinds.TAG, "The bushing to use; else that of the best plan.")
    hubs: str = line("Hubs", kinds.NUMBER, "How many like hubs are cut; else one load.", hint="(one load)")
    order: str = line(
        "Order",
        kinds.ORDER,
        "Each load whole, or all loads through a pass; else what picks up fewer things.",
        choices=choices.ORDERS,
    )
    read_each: str = line(
        "Read",
        kinds.READ_EACH,
        "Gauge every hub, or the first, each Nth and the last; else the first and the last.",
        hint="(every, or each how many)",
        option="--read",
        what="read",
    )
    job: str = line(
        "Job",
        kinds.JOB_NUMBER,
        "A job of the list, and its hub; beside a hub, what it is for.",
        hint="(its number, or words)",
    )
    drawing: str = line("Drawing", kinds.NOTE, "The drawing and its issue.", hint="(and its issue)")
    marks: str = line("Marks", kinds.MARKS, "What is marked on the hubs, one mark each.", hint="(M1,M2)")
    by: str = _by()

    @property
    def of_job(self) -> bool:
        """Whether it is a run of a job of the list: a job is named, and no line of a hub is given."""
        typed = as_typed(self)
        return bool(self.job.strip()) and not any(typed[each.name] for each in lines_of(HubQuestion))


@dataclass(frozen=True, slots=True, kw_only=True)
class RunPushedRequest:
    """A push is through, or stopped part way.

    ``shims`` is what was really in, else what was planned; ``through`` books all passes of the load up to that one.
    """

    run: str = _run()
    shims: str = _shims("What was really in; else what was planned. none: no shim.")
    through: str = line("Through", kinds.NUMBER, "All passes of this load up to this one are through.")
    part_way: bool = line("Part way", kinds.FLAG, "The broach stopped part way.", choices=choices.NO_OR_YES)
    step: str = _step()
    by: str = _by()


@dataclass(frozen=True, slots=True, kw_only=True)
class RunReadRequest:
    """What the gauge reads after a pass, once or at both ends of the hub; or that it was not gauged.

    ``through`` books the pushes up to that pass with the reading. ``way`` is how it was gauged; ``block`` and ``bore_is`` and ``other_reading`` go with ways that need them.
    """

    run: str = _run()
    measured: str = _measured()
    top: str = _top()
    bottom: str = _bottom()
    not_measured: bool = line("Not measured", kinds.FLAG, "It was not gauged.", choices=choices.NO_OR_YES)
    hub: str = _hub("Which hub was gauged; else the one that is due.", needed=False)
    through: str = line(
        "Through", kinds.NUMBER, "Gauged after this pass, which is booked with it, and all before it."
    )
    way: str = line(
        "Way", kinds.WAY, "How it was gauged: inside, block, wall or floor.", choices=choices.WAYS
    )
    block: str = line("Block", kinds.LENGTH, "Height of the block in the keyway.")
    bore_is: str = line("Bore is", kinds.LENGTH, "The bore as measured.")
    anvil: str = line(
        "Anvil", kinds.LENGTH, "Width of a flat anvil, which reads short; a ball or knife edge needs none."
    )
    other_reading: str = line("Other reading", kinds.LENGTH, "T of the keyway opposite.")
    with_what: str = _gauge()
    sure: bool = line(
        "Sure",
        kinds.FLAG,
        "Gauged with care: continue although it is off its band.",
        choices=choices.NO_OR_YES,
    )
    step: str = _step()
    by: str = _by()


@dataclass(frozen=True, slots=True, kw_only=True)
class RunAgainRequest:
    """A second push of the same stack is next."""

    run: str = _run()
    step: str = _step()
    by: str = _by()


@dataclass(frozen=True, slots=True, kw_only=True)
class RunReplanRequest:
    """Take the other plan that was offered."""

    run: str = _run()
    step: str = _step()
    by: str = _by()


@dataclass(frozen=True, slots=True, kw_only=True)
class RunGaugingRequest:
    """Change how often hubs are gauged from now on."""

    run: str = _run()
    read_each: str = line(
        "Read",
        kinds.READ_EACH,
        "Gauge every hub from now on, or the first, each Nth and the last.",
        hint="(every, or each how many)",
        option="--read",
        what="read",
        needed=True,
    )
    step: str = _step()
    by: str = _by()


@dataclass(frozen=True, slots=True, kw_only=True)
class RunMeasuredRequest:
    """A figure of a piece measured again during the run; the offset is set again."""

    run: str = _run()
    figures: tuple[str, ...] = line(
        "Figures",
        kinds.FIGURE_TEXT,
        "Each figure as name=value, for example web=0.5515 in.",
        positional=True,
        many=True,
    )
    piece: str = line("Piece", kinds.TYPED_TAG, "The piece that was measured again.", needed=True)
    with_what: str = _gauge()
    sure: bool = line(
        "Sure",
        kinds.FLAG,
        "Measured with care: keep it although it jumps by more than 0.010 in.",
        choices=choices.NO_OR_YES,
    )
    step: str = _step()
    by: str = _by()


@dataclass(frozen=True, slots=True, kw_only=True)
class RunCorrectRequest:
    """Put a step right: what was really in at a push, or what a reading really was. The step itself stays as it is."""

    run: str = _run()
    at: str = line("At step", kinds.NUMBER, "The step that is wrong.", needed=True, option="--at", what="at")
    shims: str = _shims("What was really in. none: no shim.")
    measured: str = _measured()
    not_measured: bool = line(
        "Not measured", kinds.FLAG, "It was not gauged at all.", choices=choices.NO_OR_YES
    )
    not_pushed: bool = line("Not pushed", kinds.FLAG, "The push was never made.", choices=choices.NO_OR_YES)
    why: str = _why()
    step: str = _step()
    by: str = _by()


@dataclass(frozen=True, slots=True, kw_only=True)
class RunGoneRequest:
    """A shim of the run is missing."""

    run: str = _run()
    shim: str = line("Shim", kinds.TYPED_TAG, "The shim that is missing.", needed=True)
    step: str = _step()
    by: str = _by()


@dataclass(frozen=True, slots=True, kw_only=True)
class RunBrokenRequest:
    """The broach of the run broke: it is out of service, and no plan uses it."""

    run: str = _run()
    broach: str = line("Broach", kinds.TYPED_TAG, "The broach that broke.", needed=True)
    step: str = _step()
    by: str = _by()


@dataclass(frozen=True, slots=True, kw_only=True)
class HubDecision:
    """Decide on a hub: scrap it, accept it as it is, or set it aside for now."""

    run: str = _run()
    hub: str = _hub()
    why: str = _why()
    step: str = _step()
    by: str = _by()


@dataclass(frozen=True, slots=True, kw_only=True)
class RunScrapRequest(HubDecision):
    """Scrap a hub."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RunAcceptRequest(HubDecision):
    """Accept a hub as it is."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RunAsideRequest(HubDecision):
    """Set a hub aside; the run continues with the next one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RunStopRequest:
    """Stop for now; the tools stay out."""

    run: str = _run()
    why: str = _why()
    step: str = _step()
    by: str = _by()


@dataclass(frozen=True, slots=True, kw_only=True)
class RunParkRequest:
    """Put the tools back into the crib between two passes; resume takes them again."""

    run: str = _run()
    step: str = _step()
    by: str = _by()


@dataclass(frozen=True, slots=True, kw_only=True)
class RunResumeRequest:
    """Resume a run that is stopped or parked; its tools are lent again, all or none."""

    run: str = _run()
    step: str = _step()
    by: str = _by()


@dataclass(frozen=True, slots=True, kw_only=True)
class RunEndRequest:
    """End a run, or abandon it. With a condition what the run lent is returned; without, it stays out until inspected."""

    run: str = _run()
    broach_condition: str = line(
        "Condition",
        kinds.CONDITION,
        "What an inspection found of the broach: fit, worn or unfit; everything is returned then.",
        choices=choices.BROACH_CONDITIONS,
    )
    abandon: bool = line("Abandon", kinds.FLAG, "Give it up unfinished.", choices=choices.NO_OR_YES)
    why: str = _why(needed=False)
    step: str = _step()
    by: str = _by()


@dataclass(frozen=True, slots=True, kw_only=True)
class RunRequest:
    """One run as it is now."""

    run: str = _run()


@dataclass(frozen=True, slots=True, kw_only=True)
class RunsRequest:
    """All runs, or those that are running or stopped."""

    only_open: bool = line("Open", kinds.FLAG, "Only those that are running or stopped.", option="--open")


@dataclass(frozen=True, slots=True, kw_only=True)
class RunExportRequest:
    """Write runs, their steps and their pieces as CSV files: all of them, or one."""

    folder: str = line("Folder", kinds.FOLDER, "Where the files go.", needed=True, positional=True)
    run: str = line("Run", kinds.RUN, "One run alone, by its number or code.", positional=True)
    overwrite: bool = line("Overwrite", kinds.FLAG, "Replace files of those names.")
