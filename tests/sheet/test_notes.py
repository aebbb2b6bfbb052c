"""What an author wrote of an action reaches the hand that does it, on the phone and on paper."""

import re
import subprocess
from dataclasses import replace
from pathlib import Path

import pytest

from tests.pack.writing import UNPROVED
from webapp.compile import compile_folder
from webapp.sheet import make_sheet
from webapp.web import create_app, packs

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
    return compile_folder(FOLDER, UNPROVED).pack  # no job, but a list of keys


@pytest.fixture(scope="module")
def paper(noted):
    return Printed(make_sheet(noted, {}, "si", "a4")).text


@pytest.fixture(scope="module")
def steps_on_paper(paper):
    """The words of the steps alone: the tables after them say much of this again."""
    return paper[paper.index("1 Take it off") : paper.index("Torque table")]


@pytest.fixture(scope="module")
def app():
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(packs, "compile_folder", lambda folder: compile_folder(folder, UNPROVED))
        yield create_app(FOLDER.parent)


@pytest.fixture(scope="module")
def steps_on_the_phone(app, noted):
    page = app.test_client().get(f"/jobs/{noted.hash}").text
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
    line = "class 12.9 · head: 15 mm hex · threads threadlocker · the figure is for dry threads · one use"
    assert line in steps_on_the_phone
    assert line in steps_on_paper


def test_the_size_of_a_head_is_its_name_and_is_never_converted(steps_on_the_phone):
    assert steps_on_the_phone.count("15 mm hex") == 2
    assert "0.591 in hex" not in steps_on_the_phone


def test_who_must_help_and_how_long_the_wrench_is_are_known_before_the_job_begins(app, paper):
    front = app.test_client().get(f"/packs/{FOLDER.name}").text
    front = " ".join(re.sub(r"<[^>]*>", "", front).split())
    assert "2 people for steps 1, 2." in front
    assert "3 people for step 3." in front
    assert "410 mm long" in front
    assert "2 people for steps 1 and 2. 3 people for step 3." in paper
    assert "by 0.5 N·m, 410 mm long" in paper


def test_the_sheet_tells_what_a_fluid_is_and_how_much_the_circuit_holds(paper):
    table = paper[paper.index("Fluids out and in") :]
    assert "coolant, ethylenebase, mixed to 40 % the circuit holds 7.4 L 2.4 L stays behind" in table


def test_a_clock_shows_the_time_that_its_author_wrote(paper):
    """61 min and 75 min are no more readable as 1 h 1 min and 1 h 15 min, and cannot be looked up."""
    clocks = paper[paper.index("Clocks A cure") :]
    assert "label: 61 min" in clocks
    assert "wash dries, from step 2, 75 min" in clocks
    assert "1 h 1 min" not in clocks


def test_a_clock_names_a_label_only_where_a_label_gives_its_time(paper):
    """The cure is set longer, 26 h, than the label's 25 h; the wash has no label at all."""
    clocks = paper[paper.index("Clocks A cure") :]
    assert clocks.count("label: ") == 1
    assert "sealant cures, from step 3, 26 h" in clocks


def test_the_heading_of_the_drawn_orders_never_stands_alone(noted):
    """Six groups fill more than a page, so the drawings break, and the first stays with its heading."""
    bolts = noted.front.fasteners["pump-bolts"]
    fasteners = {f"g{n}": bolts.model_copy(update={"name": f"group {n}"}) for n in range(5)}
    front = noted.front.model_copy(update={"fasteners": {**fasteners, "pump-bolts": bolts}})
    *others, last = noted.steps
    tighten = next(action for action in last.actions if action.verb() == "tighten")
    tightened = tuple(tighten.model_copy(update={"tighten": name}) for name in fasteners)
    steps = (*others, replace(last, actions=(*tightened, *last.actions)))
    pages = Printed(make_sheet(replace(noted, front=front, steps=steps), {}, "both", "letter")).pages
    (page,) = (page for page in pages if "Tightening order The number" in page)
    assert "group 0, 4 × M8x1.25" in page[page.index("Tightening order The number") :]
    assert "pump bolts, 4 × M8x1.25" not in page[page.index("Tightening order The number") :]


def test_the_torque_table_gives_a_group_the_width_of_the_paper(noted):
    """In both units its name and thread once stood in a strip of one word a line."""
    content = make_sheet(noted, {}, "both", "letter")
    command = ["pdftotext", "-layout", "-", "-"]
    lines = subprocess.run(command, input=content, capture_output=True, check=True).stdout.decode()
    assert re.search(r"pump bolts: 4 × M8x1.25, class 12.9, 15 mm hex, threads threadlocker; figure", lines)
