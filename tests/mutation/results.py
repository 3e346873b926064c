"""The outcome of each mutant, kept in a file so that a run can be resumed."""

from __future__ import annotations

import json
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path

KILLED, SURVIVED, ENDLESS, UNTRIED = "killed", "survived", "endless", "not tried"


@dataclass(slots=True)
class Results:
    """What became of the mutants by name: killed, survived, endless (a loop that never ends, noticed too), not tried
    (no test comes there)."""

    folder: Path
    by_name: dict[str, str] = field(default_factory=dict)

    @classmethod
    def read(cls, folder: Path) -> Results:
        """Those kept in a folder; none where there are none."""
        file = folder / "results.json"
        return cls(folder, json.loads(file.read_text()) if file.exists() else {})

    def write(self) -> None:
        """Keep them."""
        made = self.folder / "results.json.new"
        made.write_text(json.dumps(self.by_name, indent=0, sort_keys=True))
        made.replace(self.folder / "results.json")

    @property
    def left(self) -> list[str]:
        """The mutants that no test noticed."""
        return sorted(name for name, became in self.by_name.items() if became in (SURVIVED, UNTRIED))

    def words(self) -> str:
        """The survivors, and the share that was noticed."""
        counts = Counter(self.by_name.values())
        noticed = counts[KILLED] + counts[ENDLESS]
        total = max(len(self.by_name), 1)
        message = ", ".join(f"{counts[each]} {each}" for each in (KILLED, ENDLESS, SURVIVED, UNTRIED))
        return "\n".join(
            (*self.left, f"{len(self.by_name)} mutants: {message}; {100 * noticed / total:.1f} % noticed")
        )
