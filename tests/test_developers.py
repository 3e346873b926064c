"""The contributor's page names files that are there; a class name means one thing; every text is in plain English."""

from __future__ import annotations

import ast
import re
import tokenize
from collections import defaultdict
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
PAGE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
RECIPES = PAGE.partition("## How to add")[2].partition("\n## ")[0]
NAMED = sorted(
    set(re.findall(r"`((?:broachplan|tui|migrations|tests|seed_inventory|README)[\w./]*)`", RECIPES))
)
PROGRAM = [path for top in ("broachplan", "tui") for path in sorted((ROOT / top).rglob("*.py"))]
TESTS = [path for path in sorted((ROOT / "tests").rglob("*.py")) if path != Path(__file__).resolve()]
PAGES = [ROOT / "README.md", ROOT / "DEVELOPERS.md"]

# A run is a plan carried out at the press, a pass one push of the broach.
OF_THE_PRESS = {"Run", "Pass"}
ROOMS_OF_THE_PRESS = {"runs", "planner"}

WORDED = (tokenize.NAME, tokenize.STRING, tokenize.COMMENT)
# Say shown, reported, given or named; continues or resumes; is, lies or projects.
ARCHAIC = re.compile(r"\btold\b|\b(?:go|goes|going|gone) on with\b|\bstands\b", re.IGNORECASE)
# "stands" in its plain sense: a sign for its meaning, a key above its shaft.
IN_ITS_SENSE = re.compile(r"\bstands (?:for|clear)\b|\bkey stands that much higher\b", re.IGNORECASE)

# What people at the press and at the window once read, and what they read now.
OLD_WORDS = {
    r"\bthe joint\b": "shaft, key and hub",
    r"\bin the air\b": "clear",
    r"\b(?:first|largest) bite\b": "cut per tooth, first and largest",
    r"\bback to (?:first|last) tooth\b": "height over first tooth, height over last tooth",
    r"\bfront before the first tooth\b": "pilot length",
    r"\bREADS AFTER\b": "SHOULD READ",
    r"(?i:\beyes covered\b)": "safety glasses on",
    r"(?i:\bplans stand\b)": "plans appear here",
    r"\bCHANGED SINCE\b": "inputs changed",
    r"\bBLOCKED\b": "NO PLAN",
    r"\b(?:off_table|chip_room_tight|not_applied):": "the caution's sentence alone",
    r"\boff table\b": "near the boundary between two keys",
    r"\btells? (?:all|the rest)\b": "show all, shows the rest",
    r"\bhold no more\b": "release",
    r"\bunfit\b": "out of service",
    r"(?i:\bmore of the desk\b)": "more",
    r"\bstrayed in\b": "wrong drawer",
    r"\btold only\b": "noted only",
    r"\bwithout a word\b": "not signed out",
    r"^right: ": "-> completes",
    r"\bstill to be typed\b": "needed",
    r"\b(?:[Cc]ame out|[Hh]as cut)\b": "result; cut since last regrind",
    r"(?i:\bin all\b)": "in total",
    r"\bwhich no piece in the crib has\b": "no such tag",
    r"\bGone on with\b": "resumed",
    r"\bwas lost while it kept\b": "connection lost during the save",
    r"\bwas not read back so\b": "read-back differs from what was written",
    r"\bat most so many\b": "the limit is N bytes",
    r"\bnothing was told to change\b": "nothing to change",
    r"\bwhich no file can be called\b": "not a valid file name",
    r"\bThe others; those that agreed\b": "settled counts, including those without differences",
    r"\bThe tags that begin as one\b": "tags sharing the unknown tag's prefix",
    r"\btoothnot\b": "a space between columns whatever their length",
}
OLD = re.compile("|".join(OLD_WORDS))
# The values that files and commands take, and texts about them.
OF_COMMANDS = re.compile(r"^unfit$|\bfit, worn or unfit\b|^(?:found\('unfit'\)|back\.unfit)$")


@pytest.mark.parametrize("name", NAMED)
def test_every_file_that_a_recipe_names_is_there(name: str) -> None:
    assert (ROOT / name).exists()


@pytest.mark.parametrize(
    "what", ["figure of a piece", "kind of piece", "rule", "command with its screen", "list", "standard"]
)
def test_there_is_a_recipe_for_what_is_added_most(what: str) -> None:
    assert f"**A {what}.**" in RECIPES


def test_the_glossary_explains_each_word_once() -> None:
    glossary = PAGE.partition("## Glossary")[2].partition("\n## ")[0]
    terms = [
        word.strip()
        for row in re.findall(r"^\| ([^|]+) \|", glossary, re.MULTILINE)[1:]
        for word in row.split(",")
    ]

    assert len(terms) > 30
    assert len(terms) == len(set(terms))


def test_the_rooms_of_the_page_are_the_packages_that_there_are() -> None:
    rooms = PAGE.partition("## The rooms")[2].partition("\n## ")[0]
    named = set(re.findall(r"broachplan/(\w+)/", rooms))

    assert named == {path.parent.name for path in (ROOT / "broachplan").glob("*/__init__.py")}


@cache
def classes(path: Path) -> list[str]:
    """The names of the classes that a file defines, also inside others and in functions."""
    tree = ast.walk(ast.parse(path.read_text(encoding="utf-8")))
    return [node.name for node in tree if isinstance(node, ast.ClassDef)]


def texts(path: Path) -> Iterator[tuple[int, str]]:
    """The strings, comments and names of a file as words, with the line that each begins on."""
    with path.open("rb") as source:
        for token in tokenize.tokenize(source.readline):
            if token.type == tokenize.NAME:
                yield token.start[0], token.string.replace("_", " ")
            elif (
                token.type in (tokenize.STRING, tokenize.COMMENT)
                or "FSTRING" in tokenize.tok_name[token.type]
            ):
                yield token.start[0], " ".join(token.string.replace("#", " ").split())


def words(text: str) -> str:
    """A text in one line, the words of a name apart."""
    return " ".join(text.replace("_", " ").replace("#", " ").split())


def archaic(text: str) -> list[str]:
    """The archaic turns in a text."""
    return ARCHAIC.findall(IN_ITS_SENSE.sub("", text))


def test_a_class_name_means_one_thing() -> None:
    homes = defaultdict(list)
    for path in PROGRAM:
        for name in classes(path):
            homes[name].append(str(path.relative_to(ROOT)))

    assert {name: paths for name, paths in homes.items() if len(paths) > 1} == {}


def test_only_the_press_has_runs_and_passes() -> None:
    rooms = {path.relative_to(ROOT).parts[1] for path in PROGRAM if OF_THE_PRESS & set(classes(path))}

    assert rooms == ROOMS_OF_THE_PRESS


def test_names_strings_and_comments_are_in_plain_english() -> None:
    found = [
        f"{path.relative_to(ROOT)}:{line}: {text[:80]}"
        for path in PROGRAM + TESTS
        if archaic(words(path.read_text(encoding="utf-8")))  # most have none, and tokens take long
        for line, text in texts(path)
        if archaic(text)
    ]

    assert found == []


def test_the_pages_are_in_plain_english() -> None:
    assert {page.name: archaic(words(page.read_text(encoding="utf-8"))) for page in PAGES} == {
        page.name: [] for page in PAGES
    }


def test_the_look_for_archaic_turns_finds_them() -> None:
    assert archaic("told that it goes on with 3 and stands there") == ["told", "goes on with", "stands"]
    assert archaic("a sign stands for a number") == []


def read_by_people(path: Path) -> Iterator[tuple[int, str]]:
    """The texts of a file that people may read: its strings, and the docstrings that are a command's help."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    documented = (ast.Module, ast.ClassDef, ast.FunctionDef, ast.AsyncFunctionDef)
    docs = {
        id(node.body[0].value)
        for node in ast.walk(tree)
        if isinstance(node, documented) and node.body and isinstance(node.body[0], ast.Expr)
    }
    of_commands = "cli" in path.relative_to(ROOT).parts
    for node in ast.walk(tree):
        if (
            isinstance(node, ast.Constant)
            and isinstance(node.value, str)
            and (id(node) not in docs or (of_commands and "Example" in node.value))
        ):
            yield node.lineno, " ".join(node.value.split())


def old_words(text: str) -> list[str]:
    """The words in a text that people do not read any more."""
    return [found.group() for found in OLD.finditer(OF_COMMANDS.sub("", text))]


def test_none_of_the_old_words_is_left_where_people_read() -> None:
    found = [
        f"{path.relative_to(ROOT)}:{line}: {text[:80]}"
        for path in PROGRAM
        if OLD.search(" ".join(path.read_text(encoding="utf-8").split()))
        for line, text in read_by_people(path)
        if old_words(text)
    ]
    # The licence is not ours to word.
    readme = PAGES[0].read_text(encoding="utf-8").replace("in all copies", "")

    assert found == []
    assert old_words(" ".join(readme.replace("fit, worn or unfit", "").split())) == []


def test_the_look_for_old_words_finds_them_and_lets_the_commands_be() -> None:
    assert old_words("12 in in all, unfit; has cut") == ["in all", "unfit", "has cut"]
    assert old_words("write fit, worn or unfit") == []
