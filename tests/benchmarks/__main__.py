"""`python -m tests.benchmarks NAME ...`: run benchmarks by name, or all."""

from __future__ import annotations

import platform
import sys
from importlib import import_module
from os import cpu_count

NAMES = ("passes", "shims", "crib", "hubs", "start", "verdicts", "eight", "basket")


def main(arguments: list[str]) -> int:
    """Run what is named; 2 for a name that is not known, 1 when a benchmark found a wrong answer."""
    wanted = list(NAMES) if arguments == ["all"] else arguments
    if not wanted or any(name not in NAMES for name in wanted):
        print(f"name one or more of: {', '.join(NAMES)}, or all", file=sys.stderr)
        return 2
    python = f"{platform.python_implementation()} {platform.python_version()}"
    print(f"{cpu_count()} cores, {python}", flush=True)
    codes: list[int] = [import_module(f"tests.benchmarks.{name}").main() for name in wanted]
    return max(codes)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
