"""What an author wrote of an action reaches the hand that does it, on the phone and on paper."""

import re
from pathlib import Path

import pytest

from webapp.pack.compile import compile_folder
from webapp.sheet import make_sheet
from webapp.web import create_app

from .conftest import Printed

FOLDER = Path(__file__).with_name("every-note")

SAID = {
    "energy.lock": "pluglocked",
    "item.compare": "comparedhub, comparedflange",
    "item.mass": "27 kg",
    "item.note": "notedpump",
    "item.timed": "times the engine",
    "item.sprung": "stores force",
    "disconnect.label": "labelledgrey",
    "raise.at": "raisedsill",
    "leave-off.reason": "leftforheat",
    "crank.reason": "crankedforoil",
    "fasteners.class": "12.9",
    "fasteners.head": "15 mm hex",
    "fasteners.threads": "threads threadlocker",
    "fasteners.figure-for": "the figure is for dry threads",
    "fasteners.one-use": "one use",
    "fasteners.note": "notedbolts",
    "fluid.base": "ethylenebase",
    "fluid.note": "notedcoolant",
    "sealant.note": "notedsealant",
    "sealant.acid-curing": "cures with acid",
    "cut.pilot": "5.1 mm",
    "cut.depth": "18.5 mm",
    "cut.drill": "letter F",
}


@pytest.fixture(scope="module")
def noted():
    """The pack that has a word of its own in every key that belongs to an action."""
    return compile_folder(FOLDER).pack


@pytest.fixture(scope="module")
def steps_on_paper(noted):
    """The words of the steps alone: the tables after them say much of this again."""
    text = Printed(make_sheet(noted, {}, "si", "a4")).text
    return text[text.index("1 Take it off") : text.index("Torque table")]


@pytest.fixture(scope="module")
def steps_on_the_phone():
    app = create_app(FOLDER.parent)
    pack = app.extensions["shelf"].by_slug(FOLDER.name).pack
    page = app.test_client().get(f"/jobs/{pack.hash}").text
    steps = re.findall(r'<article class="screen step".*?</article>', page, re.S)
    assert len(steps) == 3
    return " ".join(re.sub(r"<[^>]*>", "", " ".join(steps)).split())


@pytest.mark.parametrize("key", SAID)
def test_a_step_on_the_phone_says_what_the_author_wrote_of_its_actions(steps_on_the_phone, key):
    assert SAID[key] in steps_on_the_phone


@pytest.mark.parametrize("key", SAID)
def test_a_step_on_paper_says_what_the_author_wrote_of_its_actions(steps_on_paper, key):
    assert SAID[key] in steps_on_paper


def test_the_notes_of_an_action_stand_in_one_line_under_it(steps_on_the_phone, steps_on_paper):
    line = "class 12.9 · head: 15 mm hex · threads threadlocker · the figure is for dry threads · one use: new ones"
    assert line in steps_on_the_phone
    assert line in steps_on_paper


def test_the_size_of_a_head_is_its_name_and_is_never_converted(steps_on_the_phone):
    assert steps_on_the_phone.count("15 mm hex") == 2
    assert "0.591 in hex" not in steps_on_the_phone
