"""The sheet says everything that the job needs, and nothing that the answers leave out."""

import dataclasses
import hashlib
import re
import subprocess
import sys

import pytest
import segno
from markupsafe import escape
from pypdf.generic import Destination

from webapp import places
from webapp.compile import compile_folder
from webapp.pack.amounts import read, read_any
from webapp.pack.schema import Accept
from webapp.plan.answers import AnswerError
from webapp.proof.rules import RULES
from webapp.sheet import make_sheet, sheet_html
from webapp.sheet.contents import Contents, numbers, passes
from webapp.sheet.page import only_here, pass_html

from .conftest import LINK, Printed

MM = 72 / 25.4


# --- What it says


def test_every_selected_step_has_its_title_a_box_and_a_place_for_initials(pack, printed):
    sheet = printed(drain_plug="yes")
    for step in pack.steps:
        assert f"{step.number} {step.title}" in sheet.text
    assert sheet.text.count("Initials") == len(pack.steps)
    assert sheet.text.count("☐") > len(pack.steps)


def test_a_step_that_the_answers_leave_out_is_not_printed(pack, printed):
    sheet = printed(drain_plug="no")
    assert "Clean the magnet" not in sheet.text
    assert "brush for the magnet" not in sheet.text
    assert sheet.text.count("Initials") == len(pack.steps) - 1
    assert "Is there a magnet in the drain plug? No magnet." in sheet.text


def test_an_open_question_is_printed_with_boxes_and_its_steps_say_when_they_are_done(printed):
    sheet = printed()
    assert "Is there a magnet in the drain plug? ☐ A magnet ☐ No magnet" in sheet.text
    assert "Only if: Is there a magnet in the drain plug? A magnet" in sheet.text
    assert "Only if" not in printed(drain_plug="yes").text


@pytest.mark.parametrize("drain_plug", ["no", "yes"])
def test_every_hazard_shows_its_signal_word_at_the_front_and_at_each_of_its_steps(pack, printed, drain_plug):
    sheet = printed(drain_plug=drain_plug)
    for word in ("DANGER", "WARNING", "CAUTION", "NOTICE"):
        of_word = {name for name, hazard in pack.hazards.items() if hazard.word == word.lower()}
        steps = [one for step in pack.selected({"drain-plug": drain_plug}) for one in step.hazards]
        assert sheet.text.count(word) == len(of_word) + sum(one in of_word for one in steps)
    for hazard in pack.hazards.values():
        assert sheet.text.count(hazard.avoid) >= 2


def test_a_hazard_stands_before_the_instruction_and_asks_for_a_fact(printed):
    text = printed().text
    step = text[text.index("1 Raise it on stands ⚠") :]
    assert step.index("DANGER") < step.index("☐ Stands locked and shaken") < step.index("Chock the wheels")


def test_every_torque_is_on_the_torque_table_in_the_chosen_units(printed):
    us, si = printed("us").text, printed("si").text
    tables = [text[text.index("Torque table") : text.index("Tightening order")] for text in (us, si)]
    for figures, table in zip(
        [("18 lbf·ft", "266–300 lbf·in", "29.5 lbf·ft"), ("24.5 N·m", "30–34 N·m", "40 N·m")],
        tables,
        strict=True,
    ):
        assert [figure for figure in figures if figure not in table] == []
    assert "N·m" not in us
    assert "lbf" not in si


def test_both_units_print_the_authors_figure_first(printed):
    text = printed("both").text
    assert "18 lbf·ft (24.5 N·m)" in text
    assert "40 N·m (29.5 lbf·ft)" in text
    assert "About 1.7 US qt (1.6 L) come out." in text


def test_each_pass_has_a_box_and_a_figure_of_its_own(printed):
    """Half of 18 lbf·ft is 9 lbf·ft: the definition of a share."""
    text = printed().text
    table = text[text.index("Torque table") :]
    assert "☐50 % 9 lbf·ft ☐100 % 18 lbf·ft" in table


def test_the_passes_of_a_group_are_read_off_one_scale(pack):
    """9 lbf·ft is 12.2 N·m, beside 24.5 N·m; 20 N·m beside 29.5 lbf·ft is 14.8 lbf·ft, not 177 lbf·in."""
    assert (
        pass_html(read("20 N·m", "torque"), read("40 N·m", "torque"), "us")
        == '<span class="q">14.8 lbf·ft</span>'
    )
    assert (
        pass_html(read("9 lbf·ft", "torque"), read("18 lbf·ft", "torque"), "si")
        == '<span class="q">12.2 N·m</span>'
    )


def test_the_last_pass_is_the_full_figure_to_the_letter(pack):
    """An author's own second unit stands on the last pass as on the figure: never 24 beside 24.5 N·m."""
    bolts = pack.front.fasteners["cover-bolts"]
    torque = read("18 lbf·ft (24 N·m)", "torque")
    for written in (["50 %", "100 %"], ["9 lbf·ft", "18 lbf·ft"]):
        group = bolts.model_copy(update={"torque": torque, "passes": [read_any(one) for one in written]})
        first, last = passes(group, torque)
        assert pass_html(first.figure, torque, "si") == '<span class="q">12.2 N·m</span>'
        assert pass_html(last.figure, torque, "si") == '<span class="q">24 N·m</span>'


def test_the_torque_table_tells_what_the_figure_is_for(printed):
    text = printed().text
    table = text[text.index("Torque table") : text.index("Tightening order")]
    for said in (
        "6 × M8x1.25",
        "class 8.8",
        "13 mm hex",
        "threads dry",
        "LEFT-HAND THREAD",
        "One use: fit new ones",
        "90°",
    ):
        assert said in table


def test_the_makers_order_wins_and_a_computed_one_says_so(pack, printed):
    """Common practice, no source: a printed sequence wins over any generated one, and that is labelled."""
    drawn = {one.group.name: one.tightening for one in Contents(pack, {}).drawings}
    assert drawn["yoke nuts"].order == (1, 3, 5, 7, 2, 4, 6, 8)
    assert drawn["yoke nuts"].by_maker
    assert not drawn["cover bolts"].by_maker
    assert "The maker's order." in printed().text
    assert "Order worked out; a maker's own comes first." in printed().text


def test_every_wait_has_its_label_time_and_blanks(pack, printed):
    text = printed().text
    waits = [wait for step in pack.steps for wait in step.waits]
    assert text.count("Started at") == text.count("Ended at") == len(waits)
    clocks = text[text.index("Clocks") : text.index("Readings before and after")]
    for said in ("label: at most 10 min", "label: 60 min", "label: 24 h", ", 10 min", ", 10 min to 20 min"):
        assert said in clocks
    assert clocks.count("Due") == len(waits)
    assert clocks.count("% RH") == sum(wait.stretches for wait in waits) == 2
    assert "Stop at once if: oil runs; a grinding noise." in clocks


def test_every_reading_has_a_blank_its_range_and_what_to_do_outside_it(pack, printed):
    text = printed().text
    html = sheet_html(pack, {}, "us", "a4")
    readings = [reading for step in pack.steps for reading in step.readings]
    assert html.count('<p class="reading"><span class="blank') + html.count('<p class="reading">\n') == len(
        readings
    )
    for reading in readings:
        assert reading.ask in text
    assert "must be at most 0.0078 in. If not: Stop. The bearing is gone." in text


def test_readings_that_belong_together_stand_side_by_side(printed):
    text = printed().text
    table = text[text.index("Readings before and after") : text.index("Fluids out and in")]
    assert "Play of the output shaft Steps 2 and 10 at most 0.0078 in" in table


def test_fluids_are_balanced_out_against_in(printed):
    text = printed().text
    table = text[text.index("Fluids out and in") : text.index("In and out again")]
    assert "gear oil, mineral 80W-90 0.2 US qt stays behind Steps 3 and 10 1.7 US qt 1.9 US qt" in table


def test_what_goes_in_for_a_while_is_counted_out(printed):
    assert "guide stud 2 ☐ step 6 ☐ step 7" in printed().text


@pytest.mark.parametrize(
    "said",
    [
        "Ferrowick 9 forestry carrier",
        "Not for A box that makes a noise A cracked cover",
        "Local codes, the maker's data and licensed practice come first.",
        "5–40 lbf·ft, by 1 lbf·ft",
        "Laid out How many Tool Size or range Counted back",
        "After step 1, Raise it on stands: The box is shut and full",
        "balancing of the shaft, to a shop with a balancing machine, step 9.",
        "Comes back with: the printed sheet.",
        "oil level. Level with the box cold; top up to the hole. 1 d 50 mi",
        "Invented: Test bench figures. no vehicle has them",
        "Found done: The studs may be in already.",
        "2 people.",
        "Photo: the cover on the bench, face up",
        "Not before: oil drips off is over.",
        "In hand: torque wrench, drain plug with its washer, gear oil 80W-90.",
        "Tools counted back.",
        "Signature",
    ],
)
def test_the_sheet_says(printed, said):
    assert said in printed().text


def test_time_is_counted_from_the_steps_and_their_clocks(printed):
    """Worked by hand: 76 min of hands on, 10 min watching the engine; the drip of 10 min less the magnet's 3,
    an hour to set, a day to cure less the yoke's 6 min."""
    assert "Hands on 1 h 16 min, watching 10 min, waiting with nothing to do 25 h 1 min" in printed().text
    assert "earliest 26 h 27 min after the start" in printed().text


def test_accepted_findings_print_their_reason(pack):
    bolts = Accept(code="R27", at="cover-bolts", reason="The maker gives a single pass for this cover.")
    step = Accept(code="R07", at=pack.steps[1].id, reason="The port looks down and nothing is near it.")
    front = pack.front.model_copy(update={"accept": [bolts, step]})
    html = sheet_html(dataclasses.replace(pack, front=front), {}, "us", "a4")
    title, name = RULES["R27"].title, pack.front.fasteners["cover-bolts"].name
    assert f"<b>R27</b> {title}, at {name}: The maker gives a single pass for this cover." in html
    place = escape(f"step 2, {pack.steps[1].title}")
    assert f"<b>R07</b> {RULES['R07'].title}, at {place}: The port looks down and nothing is near it." in html


def test_words_of_an_author_never_become_markup(pack):
    front = pack.front.model_copy(update={"title": "Pump <script>alert(1)</script>"})
    html = sheet_html(dataclasses.replace(pack, front=front), {}, "us", "a4")
    assert "<script" not in html
    assert "Pump &lt;script&gt;" in html


def test_an_invented_pack_says_so_on_every_page_and_a_real_one_nowhere(pack, printed):
    warning = "Invented vehicle and figures. Never use them on a machine."
    assert all(warning in page for page in printed().pages)
    front = pack.front.model_copy(update={"invented": False})
    assert warning not in sheet_html(dataclasses.replace(pack, front=front), {}, "us", "a4")


def test_an_answer_that_the_pack_does_not_offer_is_refused_in_words(pack):
    with pytest.raises(AnswerError, match=r"“maybe” is no answer to “drain-plug”.*yes, no"):
        sheet_html(pack, {"drain-plug": "maybe"}, "us", "a4")


# --- The paper


@pytest.mark.parametrize("paper, width, height", [("a4", 210 * MM, 297 * MM), ("letter", 612, 792)])
def test_every_page_has_the_size_of_the_paper(printed, paper, width, height):
    """A4 is 210 mm × 297 mm (ISO 216), Letter 8.5 in × 11 in (ANSI/ASME Y14.1)."""
    for page in printed(paper=paper).reader.pages:
        assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx(
            (width, height), abs=0.5
        )


def test_every_page_is_numbered_and_names_the_pack(pack, printed):
    pages = printed().pages
    for number, page in enumerate(pages, start=1):
        assert f"Page {number} of {len(pages)}" in page
        assert f"Pack {pack.hash}" in page


def ink_in_the_margins(sheet):
    """Return where the margins beside the text are not white: 19 mm for holes, 11 mm at the other side."""
    dpi = 50
    images = sheet.images(dpi)
    assert len(images) == len(sheet.pages)
    left, right = int(17 / 25.4 * dpi), int(9 / 25.4 * dpi)
    edges = [
        (number, side, image.crop(box).getextrema()[0])
        for number, image in enumerate(images, start=1)
        for side, box in [
            ("left", (0, 0, left, image.height)),
            ("right", (image.width - right, 0, image.width, image.height)),
        ]
    ]
    return [f"page {number}, {side}" for number, side, darkest in edges if darkest < 250]


@pytest.mark.parametrize("paper, units", [("a4", "us"), ("letter", "both")])
def test_nothing_runs_off_the_paper(printed, paper, units):
    assert ink_in_the_margins(printed(units, paper)) == []


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_no_step_begins_at_the_foot_of_a_page_without_its_first_line(pack, printed, paper):
    begun = 0
    for page in printed(paper=paper).pages:
        body = page[: page.rindex(f"{pack.front.title} Pack {pack.hash}")]
        for step in pack.steps:
            _, head, after = body.partition(f"{step.number} {step.title}")
            if head:
                begun += 1
                assert re.search(r"\w", after.replace("Initials", ""))
    assert begun >= len(pack.steps)


def test_the_qr_code_is_that_of_the_jobs_address(printed):
    """Read module by module off the rendered page and held against the code of the address."""
    dpi = 300
    (image,) = printed().images(dpi, last=1)
    wanted = [[bool(dark) for dark in row] for row in segno.make(LINK, error="m", micro=False).matrix]
    per_module = 38 / 25.4 * dpi / (len(wanted) + 4)
    left = image.width - 49 / 25.4 * dpi

    def module(top: int, row: int, column: int) -> bool:
        return (
            image.getpixel((int(left + (column + 2.5) * per_module), int(top + (row + 2.5) * per_module)))
            < 128
        )

    def stands_at(top: int) -> bool:
        cells = ((row, column) for row in range(len(wanted)) for column in range(len(wanted)))
        return all(module(top, row, column) == wanted[row][column] for row, column in cells)

    assert any(stands_at(top) for top in range(image.height // 2))


def test_without_an_address_there_is_no_code(pack):
    html = sheet_html(pack, {}, "us", "a4")
    assert "QR code" not in html
    assert "no phone can open it" not in html


# RFC 1122, 3.2.1.3: all of 127.0.0.0/8; RFC 4291, 2.5.3: ::1; RFC 6761, 6.3: localhost and what ends in it.
@pytest.mark.parametrize(
    "host", ["127.0.0.1", "127.8.8.8", "[::1]", "localhost", "LOCALHOST", "bay.localhost"]
)
def test_an_address_that_no_phone_can_open_is_said_in_words_and_gets_no_code(pack, host):
    link = f"http://{host}:8321/jobs/{pack.hash}?drain-plug=yes"
    html = sheet_html(pack, {}, "us", "a4", link)
    assert "QR code" not in html
    assert "Follow it on a phone" not in html
    assert "followed only on the machine that printed this sheet; no phone can open it" in html
    assert link in html


@pytest.mark.parametrize("host", ["bay.test", "192.168.1.20", "localhost.test", "127.test", "[2001:db8::1]"])
def test_an_address_that_a_phone_may_reach_gets_its_code(pack, host):
    link = f"https://{host}:8443/jobs/{pack.hash}"
    assert not only_here(link)
    assert f"QR code of the job: {link}" in sheet_html(pack, {}, "us", "a4", link)


# --- For everybody, and for ever


def test_the_pdf_is_tagged_and_tells_its_language_and_title(pack, printed):
    """What PDF/UA-1 (ISO 14289-1) asks of a file before anything else."""
    root = printed().reader.trailer["/Root"]
    assert root["/Lang"] == "en"
    assert root["/MarkInfo"]["/Marked"]
    assert root["/StructTreeRoot"]["/K"]
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert printed().reader.metadata.title == f"{pack.front.title}: job sheet"
    assert (
        b"<pdfuaid:part>1<" in root["/Metadata"].get_data()
        or b'pdfuaid:part="1"' in root["/Metadata"].get_data()
    )


def kinds(element, found):
    """Collect the structure elements of a PDF by kind."""
    element = element.get_object()
    if isinstance(element, list):
        for child in element:
            kinds(child, found)
    elif isinstance(element, dict):
        found.setdefault(element.get("/S"), []).append(element)
        if "/K" in element:
            kinds(element["/K"], found)
    return found


def test_every_drawing_has_words_and_every_table_has_heads(pack, printed):
    found = kinds(printed().reader.trailer["/Root"]["/StructTreeRoot"]["/K"], {})
    alternatives = [str(figure.get("/Alt", "")) for figure in found["/Figure"]]
    assert all(alternatives)
    assert "The cover on the case, with the plug to the right of it" in alternatives
    assert any(text.startswith("Tightening order of cover bolts") for text in alternatives)
    assert any(LINK in text for text in alternatives)
    assert found["/TH"]
    assert {"/H1", "/H2", "/H3", "/L", "/LI"} <= set(found)


def test_bookmarks_lead_to_every_phase_and_step(pack, printed):
    def titles(outline):
        for entry in outline:
            yield from [entry.title] if isinstance(entry, Destination) else titles(entry)

    found = list(titles(printed(drain_plug="yes").reader.outline))
    wanted = [
        *(phase.title for phase in pack.phases),
        *(f"{step.number} {step.title}" for step in pack.steps),
    ]
    assert [title for title in wanted if title not in found] == []
    assert [title for title in found if title in wanted[2:]] == wanted[2:]
    assert "Torque table" in found


SAME = """
import hashlib, sys
from pathlib import Path
from webapp.compile import compile_folder
from webapp.sheet import make_sheet
pack = compile_folder(Path(sys.argv[1])).pack
print(hashlib.sha256(make_sheet(pack, {}, "us", "a4", sys.argv[2])).hexdigest())
"""


def test_the_same_pack_prints_the_same_bytes_in_every_process(printed, pytestconfig):
    folder = pytestconfig.rootpath / "tests/sheet/gearbox-cover"
    again = subprocess.run(
        [sys.executable, "-c", SAME, str(folder), LINK],
        env={"PYTHONHASHSEED": "7", "TZ": "Asia/Tokyo", "PATH": ""},
        cwd=pytestconfig.rootpath,
        capture_output=True,
        text=True,
        check=True,
    )
    assert again.stdout.strip() == hashlib.sha256(printed().content).hexdigest()


def test_only_type_that_the_system_is_known_to_have_is_used(printed):
    """A glyph that DejaVu lacked would bring in another font: ☐ ⚠ · ½ ° – must all be in it."""
    names = {
        str(font.get_object()["/BaseFont"])
        for page in printed().reader.pages
        for font in page["/Resources"]["/Font"].values()
    }
    assert names
    assert all("DejaVu" in name for name in names), names


def test_step_numbers_read_as_people_say_them():
    assert [numbers(steps) for steps in ((4,), (4, 7), (4, 7, 9))] == [
        "step 4",
        "steps 4 and 7",
        "steps 4, 7 and 9",
    ]


# --- The packs that ship

SHIPPED = sorted(path.parent for path in places.CONTENT.glob("*/pack.md"))
assert SHIPPED, "a test over no packs would pass by looking at nothing"


@pytest.mark.parametrize("folder", SHIPPED, ids=lambda folder: folder.name)
def test_a_pack_that_ships_fits_the_paper_and_leaves_no_step_out(folder):
    """Both units on Letter: the longest figures on the shorter page, every question open."""
    shipped = compile_folder(folder).pack
    sheet = Printed(make_sheet(shipped, {}, "both", "letter", LINK))
    for step in shipped.steps:
        assert f"{step.number} {step.title}" in sheet.text
    assert sheet.text.count("Initials") == len(shipped.steps)
    assert ink_in_the_margins(sheet) == []
