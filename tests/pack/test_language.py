"""What a pack says becomes what a repairer sees: order, clocks, figures, strips, variants, amounts in prose.

Vehicle and figures are invented. Trade facts without a source beside them are common practice, no source.
"""

import re

import pytest

from tests.pack.writing import DRAWING, codes, compiled, only_step, pack, result, step
from webapp.pack.accept import DANGER

RTV = """\
sealants:
  rtv:
    name: grey silicone
    method: {method}
    bead: 3 mm
    open-time: 10 min
    tacky-after: 15 min
    to-torque: 60 min
    to-fluid: 24 h
    at: {{temperature: 23 °C, humidity: 50 %}}
    source: sheet
"""
COVER = "items:\n  cover: {kind: part, name: side cover, sealed-by: rtv}\n"
BOLTS = "fasteners:\n  bolts: {{name: cover bolts, count: 4, thread: M8x1.25, source: sheet, {more}}}\n"
OIL = "fluids:\n  oil: {name: gear oil, circuit: gear, capacity: 1.9 L, drains: 1.7 L, mix: 50 %}\n"


def bolts(more: str) -> str:
    """Return a table with one group of bolts."""
    return BOLTS.format(more=more)


def tightened(torque: str, prose: str, more: str = "") -> str:
    """Return a pack whose one step tightens the bolts, and says so in prose."""
    return pack(bolts(f"torque: {torque}{more}"), step("Tighten", "actions:\n  - tighten: bolts\n", prose))


def shown(html: str) -> list[tuple[str, ...]]:
    """Return the quantities of HTML: alone, or in US units, in SI units, and which are the author's."""
    spans = re.findall(
        r'<span class="q">([^<]*)</span>'
        r'|<span class="q q-a-(us|si)"><span class="q-us">([^<]*)</span> '
        r'<span class="q-si">([^<]*)</span></span>',
        html,
    )
    return [(alone,) if alone else (us, si, whose) for alone, whose, us, si in spans]


# --- Order


def test_a_step_without_needs_follows_the_step_before():
    one, two, three = compiled(pack("", step("One"), step("Two"), step("Three"))).steps
    assert (one.needs, two.needs, three.needs) == ((), ("one",), ("two",))


def test_needs_that_are_written_are_all_that_must_come_first():
    steps = compiled(
        pack("", step("One"), step("Two", "needs: []\n"), step("Three", "needs: [one, two]\n"))
    ).steps
    assert [one.needs for one in steps] == [(), (), ("one", "two")]


def test_one_need_may_stand_without_brackets():
    assert compiled(pack("", step("One"), step("Two"), step("Three", "needs: one\n"))).steps[2].needs == (
        "one",
    )


def test_steps_are_numbered_through_the_whole_pack_and_phases_hold_them_in_order():
    text = pack("", step("One"), step("Two"), "\n# Afterwards\n\nWash your hands.\n", step("Three"))
    found = compiled(text)
    assert [one.number for one in found.steps] == [1, 2, 3]
    assert [(phase.title, phase.steps) for phase in found.phases] == [
        ("Side cover", ("one", "two")),
        ("Afterwards", ("three",)),
    ]
    assert found.phases[1].html == "<p>Wash your hands.</p>\n"


def test_an_id_is_written_or_made_of_the_title():
    found = compiled(pack("", step("Put the cover — gently — back!"), step("Look at it {#look}")))
    assert list(found.by_id) == ["put-the-cover-gently-back", "look"]
    assert [one.title for one in found.steps] == ["Put the cover — gently — back!", "Look at it"]


# --- Clocks


def clock(kind: str, more: str = "", method: str = "close-wet"):
    """Return the clock of a step that lays a bead and starts a wait of one kind."""
    waits = f"waits:\n  clock: {{kind: {kind}, name: The clock, sealant: rtv{more}}}\n"
    data = f"actions:\n  - apply: rtv\n    to: cover\n{waits}"
    return only_step(COVER + RTV.format(method=method), data).waits[0]


def test_an_open_time_clock_has_a_most_and_no_least():
    found = clock("open-time")
    assert (found.least, found.most) == (None, 600)


@pytest.mark.parametrize("kind, seconds", [("tacky", 900), ("set", 3600), ("full-cure", 86400)])
def test_a_cure_clock_takes_its_time_from_the_label(kind, seconds):
    found = clock(kind)
    assert (found.least, found.most) == (seconds, None)


def test_a_clock_may_be_longer_than_the_label():
    assert clock("full-cure", ", least: 36 h").least == 36 * 3600


def test_a_range_is_waited_for_to_its_end():
    """24–48 h of cure are safe after 48 h."""
    assert clock("full-cure", ", least: 24–48 h").least == 48 * 3600


@pytest.mark.parametrize(
    "kind, stretches", [("open-time", False), ("tacky", True), ("set", True), ("full-cure", True)]
)
def test_a_cold_bay_stretches_what_cures_and_not_the_time_to_close(kind, stretches):
    assert clock(kind).stretches is stretches


def test_a_wait_may_be_something_to_see_and_somebody_may_have_to_stay():
    waits = (
        "waits:\n  warm: {kind: warm-up, name: Warm up, until: the fan has cut in twice, attended: true, "
        "most: 20 min, stop-if: [steam, a knock]}\n"
    )
    (found,) = only_step("", waits).waits
    assert (found.least, found.most, found.until) == (None, 1200, ("the fan has cut in twice",))
    assert (found.attended, found.stop_if, found.stretches) == (True, ("steam", "a knock"), False)


# --- Figures, lines and strips


def figures(tables: str, actions: str) -> list[tuple[str, str]]:
    """Return the big figures of a step with these actions."""
    found = only_step(tables, f"actions:\n{actions}").figures
    return [(one.label, one.amount.text if one.amount else one.text) for one in found]


def line(tables: str, actions: str) -> str:
    """Return the first line of a step with these actions, as it is read."""
    return only_step(tables, f"actions:\n{actions}").lines[0].text


def test_a_tightened_group_shows_its_torque():
    assert figures(bolts("torque: 20 lbf·ft"), "  - tighten: bolts\n") == [("cover bolts", "20 lbf·ft")]


def test_a_group_in_passes_shows_the_setting_of_each():
    """50 % of 20 lbf·ft is 10 lbf·ft: nobody should reckon it at the wrench."""
    found = figures(bolts("torque: 20 lbf·ft, passes: [50 %, 100 %]"), "  - tighten: bolts\n")
    assert [setting for _, setting in found] == ["10 lbf·ft", "20 lbf·ft"]


def test_one_pass_shows_its_own_setting():
    found = figures(bolts("torque: 24 N·m, passes: [12 N·m, 24 N·m]"), "  - tighten: bolts\n    pass: 1\n")
    assert found == [("pass 1", "12 N·m")]


def test_finger_tight_is_shown_in_words():
    ((_, says),) = figures(bolts("torque: 24 N·m"), "  - tighten: bolts\n    to: finger-tight\n")
    assert says == "finger tight"


def test_touch_and_turn_shows_the_turn():
    assert figures(bolts("touch-plus: 3/4 turn"), "  - tighten: bolts\n") == [
        ("touch, then turn", "3/4 turn")
    ]


def test_snug_is_shown_in_words():
    assert figures(bolts("snug: true"), "  - tighten: bolts\n") == [("cover bolts", "snug")]


def test_each_length_may_have_its_own_figure():
    more = "lengths: [{length: 20 mm, count: 2, torque: 8 N·m}, {length: 40 mm, count: 2, torque: 10 N·m}]"
    assert figures(bolts(more), "  - tighten: bolts\n") == [
        ("20 mm bolts", "8 N·m"),
        ("40 mm bolts", "10 N·m"),
    ]


def test_a_turn_shows_its_angle_or_the_one_of_its_stage():
    both = bolts("torque: 30 N·m, angle: [90°, 60°]")
    assert figures(both, "  - turn: bolts\n") == [("turn on by", "90°"), ("turn on by", "60°")]
    assert figures(both, "  - turn: bolts\n    stage: 2\n") == [("turn on by", "60°")]


def test_filling_shows_how_much_and_how_strong():
    assert figures(OIL, "  - fill: oil\n") == [("pour in", "1.9 L"), ("mixed to", "50 %")]
    assert figures(OIL, "  - fill: oil\n    volume: 0.4 L\n") == [("pour in", "0.4 L"), ("mixed to", "50 %")]


def test_draining_shows_what_should_come_out():
    assert figures(OIL, "  - drain: oil\n") == [("expect to drain", "1.7 L")]


def test_a_bead_shows_its_width():
    tables = COVER + RTV.format(method="close-wet")
    assert figures(tables, "  - apply: rtv\n    to: cover\n") == [("lay a bead of", "3 mm")]


def test_a_drill_is_shown_by_its_size_or_its_name():
    cut = "cuts:\n  hole: {{name: bolt hole, into: aluminium, drill: {drill}, thread: M6x1}}\n"
    assert figures(cut.format(drill="5.1 mm"), "  - drill: hole\n") == [("drill with", "5.1 mm")]
    assert figures(cut.format(drill='"#7"'), "  - tap: hole\n") == [("cut the thread", "M6x1")]


def test_a_step_shows_three_figures_at_most():
    readings = "readings:\n" + "".join(
        f"  gap-{n}: {{ask: Gap {n}, range: at most 0.{n} mm, if-outside: Stop.}}\n" for n in range(1, 6)
    )
    assert len(only_step("", readings).figures) == 3


def test_a_line_says_how_many_of_what():
    assert line(bolts("snug: true"), "  - undo: bolts\n") == "Undo cover bolts: 4 × M8x1.25"
    assert line(bolts("snug: true"), "  - undo: bolts\n    count: 2\n") == "Undo cover bolts: 2 × M8x1.25"


def test_a_left_hand_thread_is_said_in_its_line():
    assert line(bolts("snug: true, left-hand: true"), "  - loosen: bolts\n").endswith(", left-hand thread")


EARTH = "items: {earth: {kind: earth-lead, name: earth lead}}\n"
UNION = "items: {union: {kind: connection, name: rail union, carries: fuel}}\n"
DRAIN = OIL + "items: {drain: {kind: opening, name: drain hole, fluid: oil}}\n"
FAN = "energy: {fan: {kind: fan, name: cooling fan}}\n"
STRIPS = [
    (EARTH, "disconnect: earth", "connect: earth", "earth lead off"),
    (UNION, "disconnect: union", "connect: union", "Fuel open: rail union"),
    (DRAIN, "open: drain", "shut: drain", "Open: drain hole"),
    (FAN, "isolate: fan", "restore: fan", "Locked off: cooling fan"),
    (OIL, "drain: oil", "fill: oil", "gear oil out"),
]


@pytest.mark.parametrize("tables, first, last, says", STRIPS, ids=[says for *_, says in STRIPS])
def test_a_strip_stays_from_what_begins_it_to_what_ends_it(tables, first, last, says):
    begun, ended = compiled(
        pack(tables, step("One", f"actions:\n  - {first}\n"), step("Two", f"actions:\n  - {last}\n"))
    ).steps
    assert [(strip.text, strip.begins) for strip in begun.strips] == [(says, True)]
    assert [strip.begins for strip in ended.strips] == [False]
    assert begun.strips[0].id == ended.strips[0].id


def test_raised_and_running_are_strips_too():
    data = "actions:\n  - raise: stands\n  - lower: vehicle\n  - start: engine\n  - stop: engine\n"
    strips = only_step("", data).strips
    assert [(strip.id, strip.begins) for strip in strips] == [
        ("raised", True),
        ("raised", False),
        ("running", True),
        ("running", False),
    ]


# --- Variants

SHIELD = """\
questions:
  shield: {ask: Is a heat shield fitted?, answers: {fitted: A shield, none: No shield}}
"""


def test_an_answer_selects_steps_and_no_answer_excludes_none():
    text = pack(
        SHIELD,
        step("Take the shield off", "when: {shield: fitted}\n"),
        step("Look", "when: {shield: [fitted, none]}\n"),
        step("Wipe it", "when: {shield: none}\n"),
    )
    found = compiled(text)
    assert [one.id for one in found.selected({})] == ["take-the-shield-off", "look", "wipe-it"]
    assert [one.id for one in found.selected({"shield": "fitted"})] == ["take-the-shield-off", "look"]
    assert [one.id for one in found.selected({"shield": "none"})] == ["look", "wipe-it"]


# --- Acceptance


def accept(code: str, at: str, reason: str = "The maker of this pack made it up.") -> str:
    """Return the acceptance of one finding."""
    return f"accept:\n  - {{code: {code}, at: {at}, reason: {reason}}}\n"


NO_SOURCE = "fasteners:\n  bolts: {name: cover bolts, count: 4, thread: M8x1.25, torque: 10 N·m}\n"
TIGHTEN = step("Tighten", "actions:\n  - tighten: bolts\n")


def test_an_accepted_warning_is_gone_but_its_reason_stays_in_the_pack():
    assert codes(pack(NO_SOURCE, TIGHTEN)) == ["R54"]
    found = compiled(pack(NO_SOURCE + accept("R54", "bolts"), TIGHTEN))
    assert [(one.code, one.at, one.reason) for one in found.front.accept] == [
        ("R54", "bolts", "The maker of this pack made it up.")
    ]
    assert "The maker of this pack made it up." in found.canonical.decode()


def test_an_acceptance_holds_at_its_own_place_alone():
    """Both groups stand on one line; only the named one is accepted."""
    one = "{name: bolt, count: 1, thread: M8, torque: 9 N·m}"
    two = f"fasteners: {{a: {one}, b: {one}}}\n"
    both = step("Tighten", "actions:\n  - tighten: a\n  - tighten: b\n")
    (left,) = result(pack(two + accept("R54", "a"), both)).findings
    assert (left.code, left.what) == ("R54", "the figure of “b” names no source")


def test_an_error_of_a_rule_that_hurts_nobody_may_be_accepted():
    order = bolts("torque: 10 N·m, order: [1, 2, 4]")
    assert codes(pack(order, TIGHTEN)) == ["R27"]
    assert compiled(pack(order + accept("R27", "bolts"), TIGHTEN)).front.accept[0].code == "R27"


@pytest.mark.parametrize("code", sorted(DANGER))
def test_a_danger_cannot_be_accepted(code):
    assert codes(pack(bolts("snug: true") + accept(code, "bolts"), TIGHTEN)) == ["accept-refused"]


@pytest.mark.parametrize("torque, code", [("20 pounds", "R21"), ("24 N·m (24 lbf·ft)", "R26")])
def test_a_figure_that_can_be_read_two_ways_cannot_be_accepted(torque, code):
    found = codes(pack(bolts(f"torque: {torque}") + accept(code, "bolts"), TIGHTEN))
    assert sorted(found) == sorted([code, "accept-refused"])


def test_a_reason_is_a_reason_and_no_word():
    assert codes(pack(NO_SOURCE + accept("R54", "bolts", "ok"), TIGHTEN)) == ["R54", "value-wrong"]


# --- Amounts in prose


def test_an_amount_in_prose_carries_both_systems_and_says_which_is_the_authors():
    found = compiled(tightened("54 N·m", "To 54 N·m.")).steps[0]
    assert found.html == (
        '<p>To <span class="q q-a-si"><span class="q-us">40 lbf·ft</span> '
        '<span class="q-si">54 N·m</span></span>.</p>\n'
    )


def test_what_both_systems_write_alike_is_written_once():
    assert shown(only_step("", "mentions: [10 min, 90°]\n", "After 10 min, turn 90°.").html) == [
        ("10 min",),
        ("90°",),
    ]


def test_a_second_unit_is_the_authors_own_and_never_reckoned_again():
    """The author prints 40 lbf·ft beside 54 N·m: that is what readers of US units see."""
    found = compiled(tightened("54 N·m (40 lbf·ft)", "To 54 N·m (40 lbf·ft).")).steps[0]
    assert shown(found.html) == [("40 lbf·ft", "54 N·m", "si")]


def test_prose_may_use_the_other_system():
    assert compiled(tightened("54 N·m", "To 40 lbf·ft.")).steps[0].html.count("q-a-us") == 1


@pytest.mark.parametrize(
    "prose",
    [
        "To **54 N·m** now.",
        "*To 54 N·m now.*",
        "- to 54 N·m\n- and no more",
        "> To 54 N·m.",
        "To 54\nN·m now.",
        "To 54&nbsp;N·m now.",
        "### To 54 N·m\n\nNow.",
        "[To 54 N·m](https://pack.example/).",
    ],
)
def test_an_amount_is_found_wherever_it_stands(prose):
    assert shown(compiled(tightened("54 N·m", prose)).steps[0].html) == [("40 lbf·ft", "54 N·m", "si")]
    assert codes(tightened("55 N·m", prose)) == ["prose-disagrees"]


def test_an_amount_in_a_heading_is_marked_too_and_plain_in_the_title():
    text = pack(bolts("torque: 54 N·m"), step("Tighten to 54 N·m", "actions:\n  - tighten: bolts\n"))
    found = compiled(text).steps[0]
    assert found.title == "Tighten to 54 N·m"
    assert shown(found.title_html) == [("40 lbf·ft", "54 N·m", "si")]


@pytest.mark.parametrize("prose", ["To `54 N·m`.", "    To 54 N·m.", "```\nTo 54 N·m.\n```"])
def test_code_stays_as_it_is_but_is_held_to_the_data(prose):
    assert shown(compiled(tightened("54 N·m", prose)).steps[0].html) == []
    assert codes(tightened("55 N·m", prose)) == ["prose-disagrees"]


def test_a_pass_may_be_named_in_prose():
    """50 % of 20 lbf·ft is 10 lbf·ft."""
    half = tightened("20 lbf·ft", "First to 10 lbf·ft, then to 20 lbf·ft.", ", passes: [50 %, 100 %]")
    assert compiled(half)
    assert codes(half.replace("to 10", "to 12")) == ["prose-disagrees"]


@pytest.mark.parametrize("value, wrong", [("18 lbf·ft", False), ("19 lbf·ft", False), ("20 lbf·ft", False),
                                          ("17 lbf·ft", True), ("21 lbf·ft", True)])  # fmt: skip
def test_a_value_inside_the_range_is_no_contradiction(value, wrong):
    assert codes(tightened("18–20 lbf·ft", f"About {value}.")) == (["prose-disagrees"] if wrong else [])


def test_a_contradiction_shows_both_places():
    (finding,) = result(tightened("54 N·m", "All four, to 55 N·m.")).findings
    assert finding.shown == "All four, to 55 N·m."
    assert (
        finding.also_shown
        == "  bolts: {name: cover bolts, count: 4, thread: M8x1.25, source: sheet, torque: 54 N·m}"
    )
    assert "55 N·m" in finding.what
    assert "54 N·m" in finding.what


def test_the_place_is_that_of_the_amount_and_not_of_one_that_ends_alike():
    """“5 N·m” also stands inside “55 N·m”."""
    (finding,) = result(tightened("55 N·m", "To 55 N·m, not to 5 N·m.")).findings
    assert finding.place.column == len("To 55 N·m, not to ") + 1


def test_what_is_something_else_is_mentioned():
    text = pack("", step("Look", prose="A drop of 3 mm is none."))
    assert codes(text) == []  # no data of lengths that it could contradict
    gap = "readings:\n  gap: {ask: Gap, range: at most 0.3 mm, if-outside: Stop.}\n"
    assert codes(pack("", step("Look", gap, "A drop of 3 mm is none."))) == ["prose-disagrees"]
    assert codes(pack("", step("Look", f"{gap}mentions: 3 mm\n", "A drop of 3 mm is none."))) == []


def test_a_torque_is_never_prose_alone():
    assert codes(pack("", step("Tighten", prose="To 54 N·m."))) == ["prose-untyped"]


def test_a_step_speaks_of_what_its_things_say():
    """Handling a part speaks of the bolts that hold it and of the bead that seals it."""
    tables = COVER + RTV.format(method="close-wet") + bolts("torque: 54 N·m, holds: [cover]")
    data = "actions:\n  - refit: cover\n"
    use = step("Use", "actions:\n  - apply: rtv\n    to: cover\n  - tighten: bolts\n")
    assert compiled(pack(tables, use, step("Refit", data, "It will be 54 N·m. The bead is live for 10 min.")))
    assert codes(pack(tables, use, step("Refit", data, "It will be 55 N·m."))) == ["prose-disagrees"]


def test_a_step_speaks_of_the_clocks_it_waits_for():
    rest = step("Rest", "waits:\n  rest: {kind: settle, name: Rest, least: 10 min}\n")
    assert compiled(pack("", rest, step("Go on", "after: rest\n", "The 10 min are over.")))
    assert codes(pack("", rest, step("Go on", "after: rest\n", "The 15 min are over."))) == [
        "prose-disagrees"
    ]


def test_the_time_with_hands_on_is_an_estimate_that_prose_cannot_contradict():
    assert compiled(pack("", step("Look", "hands-on: 5 min\n", "Some take 20 min.")))


def test_a_difference_of_temperatures_is_not_a_temperature():
    """A step of 5 °F is one of 2.8 °C: differences convert without the offset of 32. 41 °F is 5 °C."""
    found = only_step("", "", "It warms by 5 °F. It is 41 °F in the bay.")
    assert shown(found.html) == [("5 °F", "2.8 °C", "us"), ("41 °F", "5 °C", "us")]


def test_signs_that_html_reads_are_escaped():
    found = only_step("", "", 'Gap \\< play & "more" &lt;b&gt; `<i>`')
    assert "<b>" not in found.html
    assert "<i>" not in found.html
    assert "Gap &lt; play &amp; &quot;more&quot; &lt;b&gt; <code>&lt;i&gt;</code>" in found.html


def test_a_title_is_escaped_where_it_is_html_and_plain_where_it_is_text():
    (found,) = compiled(pack("", step("Play \\< gap & so on"))).steps
    assert found.title == "Play < gap & so on"
    assert found.title_html == "Play &lt; gap &amp; so on"


# --- Pictures and links


def test_a_picture_is_served_by_its_content_and_keeps_its_words():
    found = compiled(pack("", step("Look", prose='![Bolts "A" & *B*](cover.svg "title")')), cover=DRAWING)
    (picture,) = found.pictures
    assert re.fullmatch(r"[0-9a-f]{24}\.svg", picture.file)
    assert (picture.name, picture.width, picture.height) == ("cover.svg", 60, 40)
    assert found.steps[0].pictures == (picture.file,)
    assert f'src="/pictures/{picture.file}" alt="Bolts &#34;A&#34; &amp; B"' in found.steps[0].html
    assert 'width="60" height="40"' in found.steps[0].html


def test_a_picture_may_have_signs_that_an_address_must_escape():
    text = pack("", step("Look", prose="![Cover](<Ölwanne 2.svg>)"))
    assert result(text, **{"Ölwanne 2": DRAWING}).findings == ()


def test_a_picture_in_a_heading_is_a_picture_of_the_step():
    found = compiled(pack("", step("Look at it ![the cover](cover.svg)")), cover=DRAWING)
    assert len(found.steps[0].pictures) == 1
    assert found.steps[0].title == "Look at it"


def test_a_link_leads_to_a_step_or_to_the_web():
    found = compiled(
        pack("", step("One"), step("Two", prose="[Back](#one), or [out](https://pack.example/?a=1&b=2)."))
    )
    assert '<a href="#step-one" data-to="one">Back</a>' in found.steps[1].html
    assert '<a href="https://pack.example/?a=1&amp;b=2" rel="noreferrer">out</a>' in found.steps[1].html


# --- One fault, one finding


def test_what_could_not_be_read_is_neither_missing_nor_unused():
    """A tool list with a fault in one entry is one finding, not one for each step that uses it."""
    tools = "tools:\n  pan: {name: drain pan, holds: 8 gal}\n"
    assert codes(pack(tools, step("One", "tools: pan\n"), step("Two", "tools: pan\n"))) == ["amount-unclear"]


def test_a_step_with_a_fault_does_not_make_its_prose_wrong():
    data = "actions:\n  - tigthen: bolts\n"
    assert codes(pack(bolts("torque: 24 N·m"), step("Tighten", data, "To 24 N·m."))) == ["action-unclear"]


def test_front_matter_that_cannot_be_read_does_not_make_every_name_unknown():
    text = tightened("24 N·m", "To 24 N·m.").replace("units: si", "units: [si")
    assert codes(text) == ["yaml-wrong"]


def test_every_fault_is_told_in_one_run():
    tables = bolts("torque: 24 Nn") + "tools:\n  pan: {name: drain pan, size: 8}\n"
    steps = [step("One", "toolz: pan\n"), step("Two", "hazards: scold\n", "<b>To</b> 3,5 mm.")]
    assert codes(pack(tables, *steps)) == [
        "unit-unknown",
        "amount-unclear",
        "key-unknown",
        "name-unknown",
        "html-off",
        "html-off",
        "amount-unclear",
    ]


def test_an_entry_that_is_dropped_from_a_list_leaves_the_places_of_the_others_true():
    data = "actions:\n  - tigthen: bolts\n  - tighten: bolts\n    to: tight\n  - undo: nuts\n"
    found = result(pack(bolts("torque: 24 N·m"), step("Tighten", data))).findings
    assert [(one.code, one.shown.strip()) for one in found] == [
        ("action-unclear", "- tigthen: bolts"),
        ("choice-unknown", "to: tight"),
        ("name-unknown", "- undo: nuts"),
    ]


def test_two_circles_of_needs_are_both_found():
    text = pack(
        "",
        step("A", "needs: b\n"),
        step("B", "needs: a\n"),
        step("C", "needs: d\n"),
        step("D", "needs: c\n"),
    )
    found = result(text).findings
    assert [one.what for one in found] == ["“a” needs itself: a → b → a", "“c” needs itself: c → d → c"]


def test_a_group_that_is_turned_by_an_angle_has_a_step_that_turns_it():
    angled = bolts("torque: 10 N·m, angle: 90°")
    assert codes(pack(angled, TIGHTEN)) == ["figure-missing"]
    turned = step("Tighten", "actions:\n  - tighten: bolts\n  - turn: bolts\n")
    assert codes(pack(angled, turned)) == []


def test_a_reading_is_compared_with_an_earlier_one_of_its_kind():
    before = step("Before", "readings:\n  a: {ask: Before?, range: 1–2 bar, if-outside: Stop.}\n")
    after = "readings:\n  b: {ask: After?, range: %s, if-outside: Stop., before: a}\n"
    assert codes(pack("", before + step("After", after % "1–2 bar"))) == []
    assert codes(pack("", before + step("After", after % "12–13 V"))) == ["unit-wrong-kind"]
    assert codes(pack("", step("After", after % "1–2 bar") + before)) == ["needs-later"]


def test_a_touch_plus_a_turn_needs_a_source_too():
    touch = "fasteners: {bolts: {name: bolts, count: 4, thread: M6x1, touch-plus: 3/4 turn}}\n"
    assert codes(pack(touch, TIGHTEN)) == ["R54"]


def test_figures_of_two_groups_in_one_step_say_whose_they_are():
    two = (
        "fasteners:\n"
        "  a: {name: long ones, count: 2, thread: M8, torque: 20 N·m, passes: [50 %, 100 %], source: sheet}\n"
        "  b: {name: others, count: 2, thread: M6, torque: 9 N·m, passes: [50 %, 100 %], source: sheet}\n"
    )
    found = compiled(pack(two, step("Tighten", "actions:\n  - tighten: a\n  - tighten: b\n")))
    assert [figure.label for figure in found.steps[0].figures] == [
        "long ones: pass 1",
        "long ones: pass 2",
        "others: pass 1",
        "others: pass 2",
    ]
