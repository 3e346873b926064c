"""A figure and a kind of piece, added in a copy of the program by the recipes of the contributor's page, work everywhere."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
SHIM = "shims.csv", "tag,thickness,width,length,set,home,condition,note\nS-8,1 mm,6 mm,,,,,\n"
REVISION = """
import sqlalchemy as sa
from alembic import op

revision, down_revision = "20310502a", "{before}"
WIDE = sa.BigInteger().with_variant(sa.Integer(), "sqlite")


def size(table: str, name: str) -> sa.Column[int]:
    return sa.Column(name, WIDE, sa.CheckConstraint(f"{{name}} > 0", name=f"ck_{{table}}_{{name}}_positive"))


def upgrade() -> None:
"""
NEW_FIGURE = '    op.add_column("shim", size("shim", "bow"))\n'
# SQLite alters no rule: the table is made again, with everything else as it was.
NEW_KIND = """
    op.create_table(
        "gauge",
        sa.Column("piece_id", sa.Integer, nullable=False, autoincrement=False),
        size("gauge", "diameter"),
        sa.PrimaryKeyConstraint("piece_id", name="pk_gauge"),
        sa.ForeignKeyConstraint(["piece_id"], ["piece.id"], name="fk_gauge_piece_id_piece"),
        sqlite_strict=True,
    )
    results = "SELECT sql FROM sqlite_master WHERE name = 'piece'"
    made = op.get_bind().exec_driver_sql(results).scalar_one()
    assert made.count("'ring')") == 1
    op.execute(made.replace("piece", "piece_anew", 1).replace("'ring')", "'ring', 'gauge')"))
    op.execute("INSERT INTO piece_anew SELECT * FROM piece")
    op.drop_table("piece")
    op.rename_table("piece_anew", "piece")
    op.create_index("ix_piece_kind_retired", "piece", ["kind", "retired"])
"""
# Run in the copy: what the command line prints and what the screens show, as JSON.
SCRIPT = """
import contextlib, io, json, sys
from pathlib import Path
from broachplan.cli import app
from broachplan.desks.attendant.list_pieces import list_pieces
from broachplan.questions.reads import ListRequest
from broachplan.lengths import Units
from broachplan.questions.piece import piece_lines
from broachplan.tooling.figures import read_kind
from tui.crib_rows import figures_sheet, lines
from tui.sheet import sheet_text

assert app.__file__.startswith(str(Path.cwd())), app.__file__
kind, tag, *commands = json.loads(sys.argv[1])
results = []
for words in commands:
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        code = app.run(words)
    results.append([int(code), out.getvalue() + err.getvalue()])
listed = next(each for each in list_pieces(None, ListRequest()) if each.record.piece.tag == tag)
(line,) = lines([listed], Units.MM)
form = [each.name for each in piece_lines(read_kind(kind))]
print(json.dumps({"results": results, "row": line.row, "figures": sheet_text(figures_sheet(listed, Units.MM), 46).plain, "form": form}))
"""


class Copy:
    """A copy of the program, and which of its modules were changed."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder / "program"
        for name in ("broachplan", "tui", "migrations", "seed_inventory"):
            shutil.copytree(ROOT / name, self.folder / name)
        self.touched: list[str] = []

    def change(self, module: str, old: str, new: str) -> None:
        file = self.folder / module
        before = file.read_text()
        assert before.count(old) == 1, module
        file.write_text(before.replace(old, new))
        self.touched.append(module)

    def revise(self, does: str) -> None:
        """Add a revision behind the last one."""
        from broachplan.store.schema import current

        file = self.folder / "migrations/versions/2031_05_02_more.py"
        file.write_text(f"{REVISION.format(before=current())}{does}")
        self.change("broachplan/store/schema.py", f'"{current()}",', f'"{current()}", "20310502a",')

    def run(self, db: str, kind: str, tag: str, *commands: tuple[str, ...]) -> dict[str, object]:
        ran = subprocess.run(
            [sys.executable, "-c", SCRIPT, json.dumps([kind, tag, *commands])],
            capture_output=True,
            text=True,
            check=False,
            cwd=self.folder,
            env={**os.environ, "BROACHPLAN_DB": db},
        )
        assert ran.returncode == 0, ran.stderr
        found: dict[str, object] = json.loads(ran.stdout)
        return found


@pytest.fixture
def copy(tmp_path: Path) -> Copy:
    return Copy(tmp_path)


def test_a_new_figure_touches_its_field_the_list_of_revisions_and_its_revision(
    copy: Copy, filled_file: str, tmp_path: Path
) -> None:
    (tmp_path / SHIM[0]).write_text(SHIM[1])
    copy.change(
        "broachplan/tooling/pieces.py",
        "\n\n@dataclass(frozen=True, slots=True, kw_only=True)\nclass Press",
        '    bow: Length | None = length_of("bow", "feelers", needed=True, added_later=True, in_list="bow")\n'
        "\n\n@dataclass(frozen=True, slots=True, kw_only=True)\nclass Press",
    )
    copy.revise(NEW_FIGURE)

    out = str(tmp_path / "out")
    found = copy.run(
        filled_file,
        "shim",
        "S-8",
        ("data", "upgrade"),
        # A file from before the figure is read; one that no piece needs has no column for it.
        ("crib", "import", str(tmp_path / SHIM[0])),
        ("crib", "export", f"{out}-before"),
        ("crib", "edit", "S-8", "--bow", "0 mm"),
        ("crib", "edit", "S-8", "--bow", "0.02 mm"),
        ("crib", "show", "S-8", "--json"),
        ("crib", "export", out),
        ("crib", "import", out),
        ("data", "check"),
    )

    codes = [code for code, _ in found["results"]]
    assert codes == [0, 0, 0, 2, 0, 0, 0, 0, 0], found["results"]
    assert found["results"][3][1] == "broachplan: bow: read “0 mm”; it must be above zero\n"
    assert json.loads(found["results"][5][1])["piece"]["bow_nm"] == 20_000
    assert (
        Path(f"{out}-before/shims.csv").read_text().splitlines()[0]
        == SHIM[1].splitlines()[0] + ",measured_with,measured_on,measured_by"
    )
    assert Path(f"{out}/shims.csv").read_text().splitlines()[0].endswith(",bow")
    assert "bow" in found["form"]
    assert found["row"][2] == "1.000 mm, 6.000 mm wide, 0.020 mm bow"
    assert "bow" in found["figures"]
    assert copy.touched == ["broachplan/tooling/pieces.py", "broachplan/store/schema.py"]


def test_a_new_kind_touches_the_kinds_the_pieces_the_list_of_revisions_and_its_revision(
    copy: Copy, filled_file: str, tmp_path: Path
) -> None:
    copy.change(
        "broachplan/tooling/figures.py", '    RING = "ring"\n', '    RING = "ring"\n    GAUGE = "gauge"\n'
    )
    pieces = "broachplan/tooling/pieces.py"
    copy.change(
        pieces,
        "PIECES: dict[Kind, type[Piece]] = {cls.kind: cls for cls in (Broach, Bushing, Shim, Press, Pin, Ring)}",
        "@dataclass(frozen=True, slots=True, kw_only=True)\nclass Gauge(Piece):\n"
        '    """A plug gauge."""\n\n    kind = Kind.GAUGE\n'
        '    diameter: Length | None = length_of("diameter", "micrometer", in_list="", on_label="")\n\n\n'
        "PIECES: dict[Kind, type[Piece]] = {cls.kind: cls for cls in (Broach, Bushing, Shim, Press, Pin, Ring, Gauge)}",
    )
    copy.revise(NEW_KIND)

    out = str(tmp_path / "out")
    found = copy.run(
        filled_file,
        "gauge",
        "G-8",
        ("data", "upgrade"),
        ("crib", "add", "gauge", "G-8", "--diameter", "8 mm", "--set", "box 8"),
        ("crib", "list", "--kind", "gauges"),
        ("crib", "find", "gauge"),
        ("crib", "lend", "G-8", "--to", "Kim"),
        ("crib", "labels", f"{out}.pdf"),
        ("crib", "export", out),
        ("crib", "import", out),
        ("crib", "stock"),
        ("data", "check"),
    )

    assert [code for code, _ in found["results"]] == [0] * 10, found["results"]
    assert "G-8" in found["results"][2][1]
    assert Path(f"{out}/gauges.csv").read_text().startswith("tag,diameter,home,note,set\nG-8,8 mm,,,box 8\n")
    assert found["form"][0] == "diameter"
    assert found["row"][:3] == ["G-8", "gauge", "8.000 mm"]
    assert copy.touched == ["broachplan/tooling/figures.py", pieces, "broachplan/store/schema.py"]


def test_a_kind_without_its_class_is_noticed_at_import(copy: Copy, filled_file: str) -> None:
    copy.change(
        "broachplan/tooling/figures.py", '    RING = "ring"\n', '    RING = "ring"\n    GAUGE = "gauge"\n'
    )

    with pytest.raises(AssertionError, match=r"KeyError: <Kind\.GAUGE: 'gauge'>"):
        copy.run(filled_file, "gauge", "G-8")
