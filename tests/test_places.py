"""Where the program finds what is shipped with it, installed in whichever way."""

from __future__ import annotations

from pathlib import Path

import pytest

from broachplan import places


def test_revisions_and_demo_files_are_found_from_where_the_program_lies() -> None:
    assert (places.migrations() / "env.py").is_file()
    assert (places.seed_inventory() / "broaches.csv").is_file()


def test_what_is_inside_an_installed_package_comes_before_what_is_beside_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    package = tmp_path / "site-packages" / "broachplan"
    (package / "_data" / "migrations").mkdir(parents=True)
    monkeypatch.setattr(places, "_PACKAGE", package)

    assert places.migrations() == package / "_data" / "migrations"
    assert places.seed_inventory() == package.parent / "seed_inventory"


def test_the_demo_and_the_users_crib_are_two_files_of_one_folder() -> None:
    assert places.demo_database() != places.default_database()
    assert places.demo_database().parent == places.default_database().parent == places.user_folder()
