"""The library between a process and its disk, compiled where there is a compiler."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

SOURCE = Path(__file__).with_name("shim.c")


def compiler() -> str | None:
    """The C compiler of this machine; None where there is none, or where no library can be put before another."""
    names = (os.environ.get("CC", "cc"), "gcc", "clang")
    return next(filter(None, map(shutil.which, names)), None) if sys.platform == "linux" else None


def compiled(folder: Path) -> Path | None:
    """The library, new in ``folder``; None where there is no compiler."""
    found = compiler()
    if found is None:
        return None
    library = folder / "shim.so"
    subprocess.run(
        [found, "-shared", "-fPIC", "-O1", "-o", str(library), str(SOURCE), "-ldl"],
        check=True,
        stdin=subprocess.DEVNULL,
    )
    return library
