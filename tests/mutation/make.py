"""Write the mutants of one room; a process of its own, whose folder is the copy of the tree."""

from __future__ import annotations

import sys
from contextlib import redirect_stdout
from os import devnull


def main(room: str) -> None:
    """Mutate ``broachplan/room`` of the tree here into the folder ``mutants`` in it."""
    import mutmut.__main__ as mutmut
    from mutmut.configuration import config
    from mutmut.mutation.trampoline import set_mutant_under_test

    config().only_mutate = [f"broachplan/{room}/*"]
    set_mutant_under_test("mutant_generation")
    with open(devnull, "w") as nowhere, redirect_stdout(nowhere):
        mutmut.copy_src_dir()
        mutmut.copy_also_copy_files()
        mutmut.create_mutants(1)


if __name__ == "__main__":
    main(sys.argv[1])
