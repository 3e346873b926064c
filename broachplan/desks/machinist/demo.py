"""The demo toolroom, made new in its own file, and the plan of its first hub."""

from __future__ import annotations

import csv
import io
import tempfile
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

from broachplan import places
from broachplan.buying.offer_choice import OfferChoice
from broachplan.desks.attendant.clock import day
from broachplan.desks.attendant.import_crib import import_crib
from broachplan.desks.attendant.shop_settings import change_setting
from broachplan.desks.buyer.import_jobs import import_jobs
from broachplan.desks.machinist.plan_hub import plan_hub
from broachplan.errors import StorageError, quoted
from broachplan.planner.answer import Answer
from broachplan.private import sync_folder
from broachplan.questions.acts import SettingRequest
from broachplan.questions.files import ImportRequest
from broachplan.questions.hub import JOB_COLUMNS, PlanRequest
from broachplan.questions.jobs import JobImportRequest
from broachplan.questions.line import asked
from broachplan.store.location import Location, make_file
from broachplan.store.station import keep_offer_choice
from broachplan.store.whole_file import COMPANIONS, take_place

# In how many days the demo's shop makes what is missing.
_SHOP_DAYS = {"make_bushing_days": "3", "make_shim_days": "1"}


@dataclass(frozen=True, slots=True)
class Demo:
    """The demo crib's database, the job whose hub was asked for, and the answer."""

    db: str
    job: str
    note: str
    request: PlanRequest
    answer: Answer


def open_demo(on: date | None = None) -> Demo:
    """Make the demo crib from the files shipped with the program and plan its first hub.

    Its jobs are to come: where the first would be past on the day ``on``, else today, all are due so many weeks later.

    Whatever was done in the demo crib before is gone; the user's own crib is never touched.

    Raises
    ------
    StorageError : the user's data folder cannot be written to.
    """
    path = places.demo_database()
    _make_anew(path, day(on))
    offers = OfferChoice((str(places.seed_inventory() / "offers.csv"),))
    keep_offer_choice(Location(path=path), offers)
    with (places.seed_inventory() / "jobs.csv").open(encoding="utf-8", newline="") as file:
        job = next(csv.DictReader(file))
    request = asked(PlanRequest, {name: job.get(name, "") for name in (*JOB_COLUMNS, "press")})
    return Demo(str(path), job["number"], job["note"], request, plan_hub(str(path), request))


def _make_anew(path: Path, today: date) -> None:
    """Fill a new file beside ``path`` and move it there, so that two at once both find a whole crib."""
    make_file(Location(path=path))
    try:
        with tempfile.TemporaryDirectory(dir=path.parent, prefix="demo-") as folder:
            # A umask can have taken rights away.
            Path(folder).chmod(0o700)
            fresh = Path(folder) / path.name
            import_crib(str(fresh), ImportRequest(paths=(str(places.seed_inventory()),)))
            jobs = Path(folder) / "jobs.csv"
            jobs.write_text(_to_come(places.seed_inventory() / jobs.name, today), encoding="utf-8")
            import_jobs(str(fresh), JobImportRequest(paths=(str(jobs),)))
            for name, days in _SHOP_DAYS.items():
                change_setting(str(fresh), SettingRequest(name=name, value=days))
            for ending in COMPANIONS:
                # A journal left by a run that was killed belongs to the old file and would be played into the new one.
                path.with_name(path.name + ending).unlink(missing_ok=True)
            sync_folder(path.parent)
            take_place(fresh, path)
    except OSError as error:
        raise StorageError(
            f"the demo crib {quoted(str(path), most=200)} cannot be written: {(error.strerror or str(error)).lower()}"
        ) from error


def _to_come(file: Path, today: date) -> str:
    """The list of jobs, its due days moved by whole weeks so that none is past; weekdays stay."""
    rows = list(csv.DictReader(io.StringIO(file.read_text(encoding="utf-8"), newline="")))
    first = min(date.fromisoformat(row["due"]) for row in rows)
    weeks = max(0, -(-(today - first).days // 7))
    written = io.StringIO(newline="")
    writer = csv.DictWriter(written, rows[0].keys(), lineterminator="\n")
    writer.writeheader()
    for row in rows:
        writer.writerow({**row, "due": (date.fromisoformat(row["due"]) + timedelta(weeks=weeks)).isoformat()})
    return written.getvalue()
