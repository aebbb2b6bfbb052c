"""The shelf of packs follows its folder: a pack is compiled when a file of it changes, and only then."""

import shutil

import pytest

from webapp.web import packs
from webapp.web.packs import Shelf

from .conftest import PACKS


@pytest.fixture
def folder(tmp_path):
    shutil.copytree(PACKS / "drain-plug", tmp_path / "drain-plug")
    return tmp_path


@pytest.fixture
def compiled(monkeypatch):
    """The folders that were compiled, in order."""
    real, seen = packs.compile_folder, []
    monkeypatch.setattr(packs, "compile_folder", lambda folder: (seen.append(folder.name), real(folder))[1])
    return seen


def change(folder, old, new):
    path = folder / "drain-plug" / "pack.md"
    path.write_text(path.read_text("utf-8").replace(old, new), "utf-8")


def test_a_pack_that_did_not_change_is_compiled_once(folder, compiled):
    shelf = Shelf(folder)
    assert shelf.by_slug("drain-plug") is shelf.by_slug("drain-plug")
    assert compiled == ["drain-plug"]


def test_a_changed_pack_is_compiled_anew(folder):
    shelf = Shelf(folder)
    before = shelf.by_slug("drain-plug").pack.hash
    change(folder, "Pour slowly.", "Pour slowly and stop often.")
    assert shelf.by_slug("drain-plug").pack.hash != before


def test_a_job_goes_on_although_its_pack_was_edited_meanwhile(folder):
    """The phone asks for the pack by its hash, and gets the one that the job began with."""
    shelf = Shelf(folder)
    before = shelf.by_slug("drain-plug").pack
    change(folder, "Pour slowly.", "Pour slowly and stop often.")
    assert shelf.by_slug("drain-plug").pack.hash != before.hash
    assert shelf.by_hash(before.hash) == before


def test_a_pack_is_found_by_its_hash_before_anybody_opened_the_shelf(folder):
    name = Shelf(folder).by_slug("drain-plug").pack.hash
    assert Shelf(folder).by_hash(name).slug == "drain-plug"


def test_a_pack_that_breaks_keeps_its_place_with_its_findings(folder):
    shelf = Shelf(folder)
    change(folder, "title:", "titel:")
    broken = shelf.by_slug("drain-plug")
    assert broken.pack is None
    assert broken.errors > 0


def test_a_pack_that_is_taken_away_is_gone(folder):
    shelf = Shelf(folder)
    assert shelf.by_slug("drain-plug")
    shutil.rmtree(folder / "drain-plug")
    assert shelf.by_slug("drain-plug") is None
    assert shelf.every() == []


@pytest.mark.parametrize("slug", ["..", ".", "", "drain-plug/..", "../packs/drain-plug", "\0", "DRAIN-PLUG"])
def test_only_the_folders_of_the_shelf_have_a_slug(folder, slug):
    assert Shelf(folder).by_slug(slug) is None


def test_old_packs_do_not_fill_the_memory(folder):
    shelf = Shelf(folder)
    first = shelf.by_slug("drain-plug").pack.hash
    for number in range(packs.KEPT):
        change(folder, "Pour slowly", f"Pour slowly {number}")
        assert shelf.by_slug("drain-plug").pack
    assert shelf.by_hash(first) is None
