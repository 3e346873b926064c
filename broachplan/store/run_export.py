"""Runs written as CSV files: the runs, their steps, and their pieces with the figures as used."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import fields
from pathlib import Path
from typing import Any

from broachplan.lengths import Length, write_exact
from broachplan.questions.hub import HubQuestion
from broachplan.runs.counts import HubCounts, counts_of
from broachplan.runs.steps import STEP_COLUMNS
from broachplan.settings import NAMES, written
from broachplan.store.cell_guard import guarded
from broachplan.store.csv_file import check_name
from broachplan.store.export import make_folder
from broachplan.store.runs import StoredRun
from broachplan.store.whole_file import write_named
from broachplan.tooling.figures import Kind
from broachplan.tooling.measures import write_figure
from broachplan.tooling.pieces import FIGURES

RUNS, STEPS, PIECES = "runs.csv", "steps.csv", "run_pieces.csv"
_Row = dict[str, str]
# What a spreadsheet may take for what it is.
_LEFT_AS_IT_IS = ("started", "at", "measured_on")


def run_paths(folder: Path) -> tuple[Path, ...]:
    """Where runs are written in a folder.

    Raises
    ------
    InputError : no folder can have such a name.
    """
    check_name(folder)
    return tuple(folder / name for name in (RUNS, STEPS, PIECES))


def write_runs(folder: Path, runs: Sequence[StoredRun], *, overwrite: bool = False) -> tuple[Path, ...]:
    """Write the three files into a folder, which is made if it is missing: all of them or none.

    Raises
    ------
    InputError : the folder or a file in it cannot be written.
    ThereAlreadyError : a file is there, and ``overwrite`` is not given.
    """
    paths = run_paths(folder)
    make_folder(folder)
    tables = (
        [_run(run) for run in runs],
        [row for run in runs for row in _steps(run)],
        [row for run in runs for row in _pieces(run)],
    )
    headers = (_RUN_COLUMNS, _STEP_COLUMNS, _PIECE_COLUMNS)
    texts = [_as_csv(header, rows).encode() for header, rows in zip(headers, tables, strict=True)]
    write_named(dict(zip(paths, texts, strict=True)), overwrite=overwrite)
    return paths


def _as_csv(columns: Sequence[str], rows: Iterable[_Row]) -> str:
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(columns)
    for row in rows:
        cells = ((name, row.get(name, "")) for name in columns)
        writer.writerow([cell if name in _LEFT_AS_IT_IS else guarded(cell) for name, cell in cells])
    return text.getvalue()


_QUESTION = tuple(each.name for each in fields(HubQuestion))
_HUBS = tuple(each.name for each in fields(HubCounts))
_RUN_COLUMNS = (
    *("run", "code", "state", "why", "person", "started", "job", "drawing", "marks", "order", "read_each"),
    *(f"hubs_{name}" for name in _HUBS),
    *("press", "program"),
    *(f"asked_{name}" for name in _QUESTION),
    *(f"setting_{name}" for name in NAMES),
)
_STEP_COLUMNS = ("run", *STEP_COLUMNS)
_FIGURES = tuple(dict.fromkeys(figure.name for kind in Kind for figure in FIGURES[kind]))
_PIECE_COLUMNS = (
    *("run", "step", "tag", "kind", "lent_by_run", "version"),
    *("measured_with", "measured_on", "measured_by", "measured_to"),
    *_FIGURES,
)


def _run(stored: StoredRun) -> _Row:
    run, state = stored.run, stored.state()
    counts = counts_of(state)
    at = stored.steps[0].at
    columns: Mapping[str, Any] = {
        "run": run.number,
        "code": stored.code,
        "state": state.status.value,
        "why": state.why,
        "person": stored.person,
        "started": f"{at:%Y-%m-%dT%H:%M:%SZ}" if at else None,
        "job": run.job,
        "drawing": run.drawing,
        "marks": ",".join(run.marks),
        "order": run.order.value,
        "read_each": state.as_asked.read_each,
        "press": run.press,
        "program": run.program,
        **{f"hubs_{name}": getattr(counts, name) for name in _HUBS},
        **{f"asked_{name}": run.question.get(name) for name in _QUESTION},
        **{f"setting_{name}": written(run.settings, name) for name in NAMES},
    }
    return _row(columns)


def _steps(stored: StoredRun) -> Iterator[_Row]:
    for step in stored.steps:
        written = {name: getattr(step, field) for name, (field, _) in STEP_COLUMNS.items()}
        columns = written | {
            "run": stored.run.number,
            "act": step.act.value,
            "at": f"{step.at:%Y-%m-%dT%H:%M:%SZ}" if step.at else None,
            "hubs": " ".join(map(str, step.hubs)),
            "shims": None if step.shims is None else ",".join(step.shims) or "none",
            "end": step.end.value if step.end else None,
        }
        yield _row(columns)


def _pieces(stored: StoredRun) -> Iterator[_Row]:
    for step in stored.steps:
        for kept in step.pieces:
            piece, measured = kept.piece, kept.measured
            columns: Mapping[str, Any] = {
                "run": stored.run.number,
                "step": step.step,
                "tag": piece.tag,
                "kind": piece.kind.value,
                "lent_by_run": kept.lent_by_run,
                "version": kept.version,
                "measured_with": measured.with_what,
                "measured_on": measured.on.isoformat() if measured.on else None,
                "measured_by": measured.by,
                "measured_to": measured.to,
            }
            figures = {each.name: write_figure(getattr(piece, each.name)) for each in piece.figures()}
            yield {**_row(columns), **figures}


def _row(columns: Mapping[str, Any]) -> _Row:
    return {name: _cell(value) for name, value in columns.items()}


def _cell(value: Any) -> str:
    if value is None or value is False:
        return ""
    if value is True:
        return "yes"
    return write_exact(value) if isinstance(value, Length) else str(value)
