"""Files that are there whole or not at all: written beside their place, safe on the disk, and then renamed."""

from __future__ import annotations

import os
import stat
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from contextlib import ExitStack, contextmanager, suppress
from datetime import date
from pathlib import Path
from secrets import token_hex

from broachplan import saved
from broachplan.errors import InputError, quoted
from broachplan.private import sync_folder
from broachplan.store.location import reason

try:
    import fcntl
except ImportError:  # a system without it
    fcntl = None  # type: ignore[assignment]

# What SQLite keeps beside a database: a file of such a name would be taken for it, and swept away.
COMPANIONS = ("-journal", "-wal", "-shm")
_BEGINS, _ENDS = ".broachplan-", ".tmp"
_SQLITE = b"SQLite format 3\0"  # how every SQLite file begins: sqlite.org/fileformat2.html, 1.3


class ThereAlreadyError(InputError):
    """Files of those names are there, and nobody asked for them to be replaced."""

    def __init__(self, files: Sequence[Path]) -> None:
        self.files = tuple(files)
        verb, them = ("is", "it") if len(files) == 1 else ("are", "them")
        super().__init__(
            "",
            f"{_named(files)} {verb} there already; choose another name, or add --overwrite to replace {them}",
        )


def check_places(files: Sequence[Path], what: str, kept: Sequence[Path], *, overwrite: bool) -> None:
    """Refuse names for new files that would take the place of a folder, a crib, or unasked of anything.

    Parameters
    ----------
    files : where they are to be written.
    what : what they are to be, for the messages.
    kept : files that are never replaced: those of the crib. Nor is any other SQLite file, whatever its name.
    overwrite : whether other files may be replaced.

    Raises
    ------
    InputError : one may not have its name.
    ThereAlreadyError : other files have the names.
    """
    for file in files:
        _check_place(file, what, kept)
    there = [file for file in files if os.path.lexists(file)]
    if there and not overwrite:
        raise ThereAlreadyError(there)


def _check_place(file: Path, what: str, kept: Sequence[Path]) -> None:
    name = _named([file])
    if "\0" in str(file):
        raise InputError(what, "choose another name", shown=name, fault=", which is not a valid file name")
    try:
        if any(file.resolve() == each.resolve() or _same(file, each) for each in kept):
            raise InputError("", f"{name} is the crib's own file; choose another name for the {what}")
        if file.is_dir():
            raise InputError("", f"{name} is a folder; name a file in it")
        if not file.parent.is_dir():
            raise InputError(name, "there is no such folder; make it first")
        if file.exists() and not file.is_file():
            raise InputError("", f"{name} is not a file; choose another name")
        if _is_of_a_database(file):
            raise InputError(
                "",
                f"{name} is a crib or another database, and is never replaced; choose another name for the {what}",
            )
    except (OSError, RuntimeError) as error:
        why = reason(error) if isinstance(error, OSError) else "its links go round in a circle"
        raise InputError(f"{name} cannot be used", f"{why}; choose another name") from error


def _named(files: Sequence[Path]) -> str:
    *first, last = (quoted(str(file), most=200) for file in files)
    return f"{', '.join(first)} and {last}" if first else last


def _same(one: Path, other: Path) -> bool:
    return one.exists() and other.exists() and one.samefile(other)


def _is_of_a_database(file: Path) -> bool:
    """Whether it is a SQLite file, or would be taken for what SQLite keeps beside one."""
    path = file.resolve()
    besides = (path.with_name(path.name.removesuffix(end)) for end in COMPANIONS if path.name.endswith(end))
    return any(map(_is_database, (path, *besides)))


def _is_database(path: Path) -> bool:
    if not path.is_file():
        return False
    with path.open("rb") as opened:
        return opened.read(len(_SQLITE)) == _SQLITE


class UnsureError(OSError):
    """Files have their names, but the disk did not confirm it: after a power cut old ones may be back."""


@contextmanager
def written_beside(path: Path, data: bytes) -> Iterator[Path]:
    """``data`` in a new file in the folder of ``path``, mode 0600 and on the disk; removed unless it takes a place.

    What others that were killed had begun there is removed too.

    Raises
    ------
    OSError : the folder cannot be written to, or the disk is full.
    """
    _sweep(path.parent)
    handle, made = _begun(path.parent)
    claim = os.dup(handle)
    try:
        with open(handle, "wb") as file:
            if hasattr(os, "fchmod"):
                # A umask can only have taken rights away.
                os.fchmod(handle, 0o600)
            file.write(data)
            file.flush()
            os.fsync(handle)
        if fcntl is None:
            # Where a file that is open cannot be renamed.
            os.close(claim)
        yield made
    finally:
        with suppress(OSError):
            # What cannot be removed now is swept up by the next.
            made.unlink(missing_ok=True)
        with suppress(OSError):
            os.close(claim)


def write_named(files: Mapping[Path, bytes], *, overwrite: bool) -> None:
    """Write files that a user named: all of them or, where one cannot be written, none; see `check_places`.

    Raises
    ------
    InputError : one cannot be written, and all that was there is as it was; or the disk did not confirm their names.
    ThereAlreadyError : other files got the names meanwhile.
    """
    one, *others = files
    names = f"the files for {quoted(str(one.parent), most=200)}" if others else _named([one])
    try:
        with ExitStack() as stack:
            made = {path: stack.enter_context(written_beside(path, data)) for path, data in files.items()}
            take_places(made, overwrite=overwrite)
    except UnsureError as error:
        raise InputError(
            names, f"written, but the disk did not confirm it: {reason(error)}; check before you rely on it"
        ) from error
    except OSError as error:
        raise InputError(
            f"{names} could not be written", f"{reason(error)}; no file was replaced; choose another place"
        ) from error


def _begun(folder: Path) -> tuple[int, Path]:
    """A new file that is claimed until its last handle is closed."""
    while True:
        handle, name = tempfile.mkstemp(prefix=_BEGINS, suffix=_ENDS, dir=folder)
        _claim(handle, wait=True)
        if os.fstat(handle).st_nlink:
            return handle, Path(name)
        # It was swept up in the moment before it was claimed.
        os.close(handle)


def _sweep(folder: Path) -> None:
    """Remove what was begun in a folder by those who ended before they were done: files that nobody claims."""
    if fcntl is None:
        return
    for path in folder.glob(f"{_BEGINS}*{_ENDS}"):
        with suppress(OSError):
            handle = os.open(path, os.O_RDWR | os.O_NOFOLLOW | os.O_NONBLOCK)
            try:
                about = os.fstat(handle)
                ours = stat.S_ISREG(about.st_mode) and about.st_uid == os.geteuid()
                if ours and _claim(handle, wait=False):
                    path.unlink()
            finally:
                os.close(handle)


def _claim(handle: int, *, wait: bool) -> bool:
    """Claim a file; False where another has claimed it, or the system knows no claims."""
    if fcntl is None:
        return False
    try:
        fcntl.flock(handle, fcntl.LOCK_EX if wait else fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True


def take_place(made: Path, path: Path) -> None:
    """Rename ``made`` to ``path``, whatever was there, so that a power cut leaves the one or the other.

    Raises
    ------
    UnsureError : it was renamed, and the disk did not confirm it.
    OSError : it was not renamed.
    """
    take_places({path: made}, overwrite=True)


def take_places(made: Mapping[Path, Path], *, overwrite: bool) -> None:
    """Give new files their names, the keys of ``made``: all of them or none, and each is whole at every moment.

    A process that is killed on the way may leave some of the new ones beside old ones.

    Raises
    ------
    ThereAlreadyError : one of the names was taken, and ``overwrite`` is not given.
    UnsureError : all have their names, and the disk did not confirm it.
    OSError : one cannot have its name; what was there before is there again.
    """
    several, done = len(made) > 1, []
    with ExitStack() as stack:
        there = [path for path in made if several and overwrite and os.path.lexists(path)]
        before = {path: stack.enter_context(_second_name(path)) for path in there}
        try:
            for path, new in made.items():
                _name(new, path, overwrite=overwrite)
                done.append(path)
        except BaseException:
            for path in done:
                with suppress(OSError):
                    before[path].replace(path) if path in before else path.unlink()
            raise
    saved.note("what was to be written is there")
    for folder in {path.parent for path in made}:
        try:
            sync_folder(folder)
        except OSError as error:
            raise UnsureError(error.errno, error.strerror) from error


def _name(made: Path, path: Path, *, overwrite: bool) -> None:
    if not overwrite:
        try:
            # A second name, unlike a new one, never takes the place of a file that came meanwhile.
            os.link(made, path)
        except FileExistsError:
            raise ThereAlreadyError([path]) from None
        except OSError:
            # Some file systems know no second name for a file.
            if os.path.lexists(path):
                raise ThereAlreadyError([path]) from None
        else:
            return
    made.replace(path)


@contextmanager
def _second_name(path: Path) -> Iterator[Path]:
    """Another name for the file at ``path``, or a copy where the file system knows none, for as long as it is needed."""
    second = path.with_name(f"{_BEGINS}{token_hex(8)}{_ENDS}")
    with ExitStack() as stack:
        try:
            os.link(path, second, follow_symlinks=False)
        except (OSError, NotImplementedError):
            second = stack.enter_context(written_beside(path, path.read_bytes()))
        else:
            stack.callback(_removed, second)
            if fcntl is not None and not path.is_symlink():
                # Else another that begins now sweeps it up.
                claim = os.open(second, os.O_RDONLY)
                stack.callback(os.close, claim)
                _claim(claim, wait=False)
        yield second


def _removed(path: Path) -> None:
    with suppress(OSError):
        path.unlink(missing_ok=True)


def dated_name(path: Path, on: date) -> Path:
    """``crib.db`` is kept as ``crib-2031-05-28.db`` beside it, or with a number where that is taken."""
    number, free = 1, path.with_name(f"{path.stem}-{on.isoformat()}{path.suffix}")
    while free.exists():
        number += 1
        free = path.with_name(f"{path.stem}-{on.isoformat()}-{number}{path.suffix}")
    return free
