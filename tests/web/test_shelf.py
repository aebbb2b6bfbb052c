"""The shelf shows what there is, and what is wrong with it."""

import pytest

from webapp.web import create_app


def test_a_pack_is_on_the_shelf_with_its_title_and_vehicle(client):
    page = client.get("/").text
    assert "Renew the drain plug washer" in page
    assert "Hobbleton 4 site dumper" in page


def test_a_pack_that_does_not_compile_is_kept_on_the_shelf_with_the_count_of_its_errors(client):
    page = client.get("/").text
    assert 'href="/packs/misspelt/check"' in page
    assert "Does not compile: 3 errors" in page


@pytest.mark.parametrize("words", ["drain washer", "WASHER", "hobbleton", "drain-plug", "weeps close", ""])
def test_a_pack_is_found_by_any_of_its_words_in_any_case(client, words):
    assert "Renew the drain plug washer" in client.get("/", query_string={"words": words}).text


def test_a_pack_is_not_found_when_one_word_is_missing_in_it(client):
    page = client.get("/", query_string={"words": "washer camshaft"}).text
    assert "Renew the drain plug washer" not in page
    assert "No pack holds all of these words" in page


def test_the_list_alone_is_what_the_page_holds(client):
    """Filtering as one types swaps in what a reload would show."""
    fragment = client.get("/shelf?words=washer").text
    assert "<html" not in fragment
    assert fragment in client.get("/?words=washer").text


def test_words_that_look_like_html_come_back_as_words(client):
    page = client.get("/", query_string={"words": '"><script>'}).text
    assert "<script>" not in page
    assert "&#34;&gt;&lt;script&gt;" in page


def test_the_shelf_leaves_room_for_the_jobs_of_this_phone(client):
    assert "<section data-jobs hidden>" in client.get("/").text


def test_an_empty_shelf_says_where_it_looked_and_what_a_pack_is(tmp_path):
    page = create_app(tmp_path).test_client().get("/").text
    assert str(tmp_path) in page
    assert "pack.md" in page


def test_a_shelf_whose_folder_went_away_is_an_empty_shelf(tmp_path):
    assert create_app(tmp_path / "gone").test_client().get("/").status_code == 200
