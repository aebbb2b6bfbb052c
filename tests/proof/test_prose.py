"""The words of a step are held against its data, and long or crowded sentences are told."""

import pytest

from tests.pack.writing import HEAD
from webapp.compile import Result, compile_bytes
from webapp.pack.codes import CODES

TABLES = """\
opening: {wheels: on-ground}
items:
  plate: {kind: part, name: inspection plate}
  rag: {kind: temporary, name: rag}
  lamp-plug: {kind: connection, name: lamp plug}
fasteners:
  bolts: {name: plate bolts, count: 4, thread: M6x1.0, snug: true, holds: plate}
tools:
  hose: {name: garden hose}
"""


def told(prose: str, *actions: str, more: str = "") -> Result:
    """Compile a pack of one step with this prose."""
    done = "actions:\n" + "".join(f"  - {action}\n" for action in actions) if actions else ""
    step = f"# Plate\n\n## Work on it\n\n```step\nhands-on: 5 min\n{done}```\n\n{prose}\n"
    return compile_bytes(f"{HEAD}{more}{TABLES}---\n\n{step}".encode(), "pack.md", {})


def codes(result: Result) -> list[str]:
    """Return what was said of the prose."""
    return [finding.code for finding in result.findings if finding.code.startswith("prose-")]


@pytest.mark.parametrize(
    "prose",
    [
        "Reconnect the lamp plug.",
        "Plug in the sensor.",
        "Plug the connector back in.",
        "Push the hose on until it stops.",
        "Tighten the plate bolts.",
        "Then torque the bolts crosswise.",
        "Remove the rag.",
        "Look twice and take the plug out.",
        "Take out the rag.",
        "Carefully slacken the bolts.",
        "Drain the coolant.",
        "Fill the cooling system slowly.",
        "When the pan stands ready, drain the oil.",
        "Start the engine.",
        "Start both bolts by hand.",
        "Shut the drain cock.",
        "Jack up the car.",
    ],
)
def test_an_action_that_only_the_words_say_is_told(prose):
    assert codes(told(prose)) == ["prose-untyped"]


@pytest.mark.parametrize(
    "prose",
    [
        "Do not start the engine.",
        "Never take the plug out hot.",
        "If it weeps, tighten the bolts.",
        "Tomorrow you fill the system.",
        "Take the plug out tomorrow.",
        "You will tighten the bolts in the last phase.",
        "The bolts that you slacken stay with the plate.",
        "Wait until the engine has stopped and drain water is clear.",
        "Look at drain, pump and plug.",
        "Take the tag off the wheel.",
        "Take your rings off.",
        "Connect the garden hose to the tap.",
        "Open both doors of the bay.",
        "Fill the jug.",
        "Start the clock.",
        "Shut the hood.",
        "Lift your foot off.",
        "Leave the plug in.",
        "`tighten: bolts` is how it is written.",
    ],
)
def test_what_is_no_action_on_the_machine_is_let_pass(prose):
    assert codes(told(prose)) == []


@pytest.mark.parametrize(
    "prose, action",
    [
        ("Tighten the bolts.", "{tighten: bolts, to: snug}"),
        ("Take the plate off.", "remove: plate"),
        ("Pull the plug out.", "disconnect: lamp-plug"),
        ("Tighten its clamp bolt.", "connect: lamp-plug"),
        ("Remove the rag.", "take-out: rag"),
    ],
)
def test_an_action_that_the_data_says_too_is_let_pass(prose, action):
    assert codes(told(prose, action)) == []


def test_a_finding_points_at_its_sentence():
    result = told("It is dark here.\n**Look** at it. Take the\nrag out.")
    (finding,) = [one for one in result.findings if one.code == "prose-untyped"]
    assert finding.severity == "warning"
    assert finding.shown[finding.place.column - 1 :].startswith("Take the")
    assert finding.what.startswith("“Take the rag out”")


def test_a_sentence_of_more_than_twenty_words_is_told():
    twenty = "Hold the lamp so that its light falls on the mark and lay your head back until you see it."
    assert len(twenty.split()) == 20
    assert codes(told(twenty)) == []
    assert codes(told(twenty.replace("see it", "can see it"))) == ["prose-long"]


def test_words_in_brackets_and_a_figure_with_its_unit_do_not_make_a_sentence_long():
    text = (
        "Hold the lamp 20 mm away so that its light falls on the mark (the small one, left of the large one) "
        "until you see it."
    )
    assert codes(told(text)) == []


@pytest.mark.parametrize(
    "prose",
    [
        "Shut the drain and tighten the bolts.",
        "Start the bolts by hand, then tighten each.",
        "Remove the rag, and then start the engine.",
    ],
)
def test_two_actions_in_one_sentence_are_told(prose):
    assert "prose-two-actions" in codes(told(prose))


def test_what_is_done_in_one_movement_is_one_action():
    done = "Press the tab and pull the plug off.", "Hold the plate and slacken the bolts."
    for prose in done:
        result = told(prose, "disconnect: lamp-plug", "connect: lamp-plug", "{tighten: bolts, to: snug}",
                      "loosen: bolts")  # fmt: skip
        assert "prose-two-actions" not in codes(result)


@pytest.mark.parametrize("code", ["prose-untyped", "prose-long", "prose-two-actions"])
def test_a_pack_can_go_without_each_of_these_warnings(code):
    long = "see " * 21
    prose = f"Shut the drain and tighten the bolts. You {long} it."
    assert code in codes(told(prose))
    assert code not in codes(told(prose, more=f"silence: {code}\n"))
    assert code in CODES


def test_a_torque_in_the_prose_alone_stays_an_error_whatever_is_silent():
    result = told("It is set to 20 N·m there.", more="silence: prose-untyped\n")
    assert [one.severity for one in result.findings if one.code == "prose-untyped"] == ["error"]
