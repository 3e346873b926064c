"""A disk that loses its power: what the changes of a log leave of a folder, when only what was synced is sure.

A file's content is sure up to its last sync, and what was written since may be there or not, every 512 bytes of it for
themselves, in any order. A name is sure from the sync of its folder on; until then its making, its going and its change
may each be there or not. Nothing else is assumed: no file system loses more, and many lose less.
"""

from __future__ import annotations

import random
import struct
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

SECTOR = 512
_HEAD = struct.Struct("=5Q")
# Whether a change that was not synced is there after the cut.
Keep = Callable[[], bool]


@dataclass(frozen=True, slots=True)
class Change:
    """One change: its kind's letter as in the shim, the file's number, an offset or size, and data or one or two paths."""

    kind: str
    file: int
    number: int
    first: bytes
    second: bytes


def read_log(log: Path) -> list[Change]:
    """The changes in a log of the shim, in order."""
    data, place, changes = log.read_bytes(), 0, []
    while place < len(data):
        kind, file, number, first, second = _HEAD.unpack_from(data, place)
        place += _HEAD.size
        changes.append(
            Change(
                chr(kind),
                file,
                number,
                data[place : place + first],
                data[place + first : place + first + second],
            )
        )
        place += first + second
    return changes


@dataclass(slots=True, eq=False)
class _File:
    sure: bytearray = field(default_factory=bytearray)
    # An offset and what was written there, or a size and None.
    since: list[tuple[int, bytes | None]] = field(default_factory=list)

    def sync(self) -> None:
        for change in self.since:
            _apply(self.sure, *change)
        self.since.clear()

    def after_cut(self, data: Keep, chance: random.Random) -> bytes:
        content = bytearray(self.sure)
        for place, written in self.since:
            if written is None:
                if data():
                    _apply(content, place, None)
                continue
            for start in range(0, len(written), SECTOR):
                if data():
                    _apply(content, place + start, written[start : start + SECTOR])
            if chance.random() < 0.5 and len(content) < place + len(written) and data():
                # A file may have grown without what it grew by.
                content += chance.randbytes(place + len(written) - len(content))
        return bytes(content)


def _apply(content: bytearray, place: int, written: bytes | None) -> None:
    if written is None:
        del content[place:]
    end = place + len(written or b"")
    content.extend(bytes(max(0, end - len(content))))
    content[place:end] = written or b""


@dataclass(slots=True, eq=False)
class _Folder:
    sure: dict[str, _File | _Folder] = field(default_factory=dict)
    # Names with what they refer to then; those of one change are there together.
    since: list[dict[str, _File | _Folder | None]] = field(default_factory=list)

    def now(self) -> dict[str, _File | _Folder]:
        return self.after_cut(lambda: True)

    def sync(self) -> None:
        self.sure = self.now()
        self.since.clear()

    def after_cut(self, names: Keep) -> dict[str, _File | _Folder]:
        found = dict(self.sure)
        for change in self.since:
            if names():
                for name, node in change.items():
                    found.pop(name, None)
                    if node is not None:
                        found[name] = node
        return found


class Disk:
    """What is on a disk below one folder: as it was at first, and then with the changes that are logged."""

    def __init__(self, folder: Path) -> None:
        self._place = folder
        self._nodes: dict[int, _File | _Folder] = {}
        self._root = self._found(folder)

    def _found(self, folder: Path) -> _Folder:
        node = _Folder()
        self._nodes[folder.stat().st_ino] = node
        for path in folder.iterdir():
            if path.is_dir():
                node.sure[path.name] = self._found(path)
            else:
                made = self._nodes[path.stat().st_ino] = _File(bytearray(path.read_bytes()))
                node.sure[path.name] = made
        return node

    def is_of_folder(self, change: Change) -> bool:
        """Whether a logged change is one of a folder itself, such as its sync."""
        return isinstance(self._nodes.get(change.file), _Folder)

    def apply(self, change: Change) -> None:
        """Make one change."""
        if change.kind in "wt":
            node = self._nodes[change.file]
            assert isinstance(node, _File)
            node.since.append((change.number, change.first if change.kind == "w" else None))
        elif change.kind == "s":
            self._nodes[change.file].sync()
        elif change.kind != "a":
            self._rename(change)

    def _rename(self, change: Change) -> None:
        folder, name = self._where(change.first)
        if change.kind in "cm":
            node = self._nodes[change.file] = _File() if change.kind == "c" else _Folder()
            folder.since.append({name: node})
        elif change.kind == "u":
            folder.since.append({name: None})
        else:
            node = folder.now()[name]
            other, new = self._where(change.second)
            gone: dict[str, _File | _Folder | None] = {name: None} if change.kind == "r" else {}
            if other is folder:
                folder.since.append(gone | {new: node})
            else:
                other.since.append({new: node})
                folder.since.append(gone)

    def _where(self, path: bytes) -> tuple[_Folder, str]:
        parts = Path(path.decode()).relative_to(self._place).parts
        folder = self._root
        for part in parts[:-1]:
            inner = folder.now()[part]
            assert isinstance(inner, _Folder)
            folder = inner
        return folder, parts[-1]

    def write_after_cut(self, to: Path, names: Keep, data: Keep, chance: random.Random) -> None:
        """Write what a cut leaves into the new folder ``to``: each name and each datum that is not certain, as chosen."""

        def write(folder: _Folder, place: Path) -> None:
            place.mkdir()
            for name, node in folder.after_cut(names).items():
                if isinstance(node, _File):
                    (place / name).write_bytes(node.after_cut(data, chance))
                else:
                    write(node, place / name)

        write(self._root, to)


def _always() -> bool:
    return True


def _never() -> bool:
    return False


def cuts(chance: random.Random, by_chance: int) -> Iterator[tuple[Keep, Keep]]:
    """Which names and which data stay: none, all, the ones without the others, and some by chance."""
    yield _never, _never
    yield _always, _always
    yield _always, _never
    yield _never, _always
    for _ in range(by_chance):
        often, mostly = chance.random(), chance.random()
        yield lambda: chance.random() < often, lambda: chance.random() < mostly  # noqa: B023 - used before the next


def left_by_cuts(
    disk: Disk,
    changes: Sequence[Change],
    moments: Iterable[int],
    room: Path,
    chance: random.Random,
    by_chance: int,
) -> Iterator[tuple[int, Path]]:
    """Cut the power after a number of changes, in each of some ways; gives the moment, and a folder to look at."""
    made = 0
    for moment in moments:
        for change in changes[made:moment]:
            disk.apply(change)
        made = moment
        for number, (names, data) in enumerate(cuts(chance, by_chance)):
            to = room / f"{moment}-{number}"
            disk.write_after_cut(to, names, data, chance)
            yield moment, to
