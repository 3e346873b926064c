"""The contributor's page names files that are there."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
PAGE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
RECIPES = PAGE.partition("## How to add")[2].partition("\n## ")[0]
NAMED = sorted(
    set(re.findall(r"`((?:broachplan|tui|migrations|tests|seed_inventory|README)[\w./]*)`", RECIPES))
)


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
    words = [
        word.strip()
        for row in re.findall(r"^\| ([^|]+) \|", glossary, re.MULTILINE)[1:]
        for word in row.split(",")
    ]

    assert len(words) > 30
    assert len(words) == len(set(words))


def test_the_rooms_of_the_page_are_the_packages_that_there_are() -> None:
    rooms = PAGE.partition("## The rooms")[2].partition("\n## ")[0]
    named = set(re.findall(r"broachplan/(\w+)/", rooms))

    assert named == {path.parent.name for path in (ROOT / "broachplan").glob("*/__init__.py")}
