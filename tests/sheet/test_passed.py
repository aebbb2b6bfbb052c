"""What was passed with something open stands on the sheet with its reason, or has lines there."""

import json
from pathlib import Path

import pytest

from tests.sheet.conftest import Printed
from webapp.sheet import make_sheet, read_passed
from webapp.web import create_app

ONE = {
    "step": "filled",
    "gate": "fill",
    "rules": ["R05"],
    "reason": "The yoke waits for a nut from the counter.",
    "when": "27 Nov, 10:15",
}


def text_of(pack, passed=()):
    return Printed(make_sheet(pack, {}, "si", "a4", "", passed)).text


def test_a_passed_permit_is_printed_with_its_step_its_rule_and_its_reason(pack):
    text = text_of(pack, read_passed(pack, json.dumps([ONE])))
    number = pack.by_id["filled"].number
    wanted = f"Filling, step {number} “Fit the plug and fill”, 27 Nov, 10:15 (R05): The yoke waits for a nut"
    assert wanted in text


def test_a_sheet_for_the_wall_has_lines_for_what_is_passed(pack):
    text = text_of(pack)
    assert "Passed with something open" in text
    assert "Why it was passed" in text


@pytest.mark.parametrize(
    "slip",
    [
        "",
        "[",
        "{}",
        "[" * 100_000,
        json.dumps([ONE | {"step": "nowhere"}]),
        json.dumps([ONE | {"gate": "<fly>"}]),
        json.dumps([ONE | {"rules": ["<b>"]}]),
        json.dumps([ONE | {"reason": "   "}]),
        json.dumps([ONE | {"reason": "x" * 2_001}]),
        json.dumps([ONE | {"more": 1}]),
        json.dumps([ONE] * 61),
    ],
)
def test_nothing_is_printed_that_no_phone_hands_over(pack, slip):
    with pytest.raises(ValueError, match=r"."):
        read_passed(pack, slip)


@pytest.fixture(scope="module")
def client():
    return create_app(Path(__file__).parent).test_client()


def test_the_phone_posts_what_was_passed_and_gets_the_sheet(client, pack):
    answer = client.post(
        f"/jobs/{pack.hash}/sheet.pdf", data={"passed": json.dumps([ONE]), "drain-plug": "yes"}
    )
    assert (answer.status_code, answer.mimetype) == (200, "application/pdf")
    assert "a nut from the counter" in Printed(answer.data).text


@pytest.mark.parametrize("form", [{}, {"passed": "[]", "nobody": "asked"}, {"passed": "[1]"}])
def test_a_form_that_is_not_ours_is_refused_in_words(client, pack, form):
    answer = client.post(f"/jobs/{pack.hash}/sheet.pdf", data=form)
    assert answer.status_code == 400
    assert "Print the sheet from the job page." in answer.text
