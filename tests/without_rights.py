"""A process that may write only what it is allowed to, also where the tests run as the super-user, who may everything."""

from __future__ import annotations

import ctypes
import os
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

_VERSION = 0x20080522  # of the structures below, from linux/capability.h
_OVERRIDING = {0, 1, 2, 3}  # chown, and writing, reading and owning whatever the modes of a file say


class _Header(ctypes.Structure):
    _fields_ = (("version", ctypes.c_uint32), ("pid", ctypes.c_int))


class _Sets(ctypes.Structure):
    _fields_ = (
        ("effective", ctypes.c_uint32),
        ("permitted", ctypes.c_uint32),
        ("inheritable", ctypes.c_uint32),
    )


@contextmanager
def no_overriding() -> Iterator[None]:
    """Let the modes of files count for this thread, as they do for everybody but the super-user."""
    if os.geteuid() != 0:
        yield
        return
    before = _capabilities("capget")
    wanted = _copied(before)
    wanted[0].effective &= ~sum(1 << number for number in _OVERRIDING)
    _capabilities("capset", wanted)
    try:
        yield
    finally:
        _capabilities("capset", before)


def _capabilities(call: str, sets: Any = None) -> Any:
    sets = (_Sets * 2)() if sets is None else sets
    header = _Header(_VERSION, 0)
    libc = ctypes.CDLL(None, use_errno=True)
    if getattr(libc, call)(ctypes.byref(header), ctypes.byref(sets)) != 0:
        raise OSError(ctypes.get_errno(), f"{call} failed")
    return sets


def _copied(sets: Any) -> Any:
    copy = (_Sets * 2)()
    ctypes.memmove(copy, sets, ctypes.sizeof(copy))
    return copy
