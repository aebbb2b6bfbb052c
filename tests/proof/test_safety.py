"""What the examples cannot say of the rules of safety: makers' sources, severities, words for the phone."""

from collections.abc import Iterator

import pytest

from webapp.compile import compile_bytes
from webapp.pack.accept import DANGER
from webapp.pack.findings import Finding
from webapp.proof import examples
from webapp.proof.rule import Row
from webapp.proof.rules import RULES
from webapp.proof.rules.safety import RULES as SAFETY

BATTERY = """\
opening: {engine: cold, earth: on, wheels: on-ground}
items:
  earth-lead: {kind: earth-lead, name: battery earth lead, carries: earth}
  live-lead: {kind: connection, name: live battery lead, carries: live}
follow-ups:
  settings: {name: Settings, after: 1 day, what: Clock and radio are set again., checks: settings}
---

# Battery

## Take it off

```step
hands-on: 5 min
actions: [disconnect: live-lead, disconnect: earth-lead]
OFF
```

## Put it back

```step
hands-on: 5 min
actions: [connect: earth-lead, connect: live-lead]
ON
```
"""


def found(text: str, kind: str = "invented") -> list[Finding]:
    """Return what is found in a pack whose one source is of this kind."""
    whole = examples.whole(text).replace("kind: invented,", f"kind: {kind},", 1)
    assert f"kind: {kind}," in whole
    return list(compile_bytes(whole.encode(), "pack.md", {}, "example").findings)


def codes(text: str, kind: str = "invented") -> set[str]:
    return {finding.code for finding in found(text, kind)}


def battery(off: str, on: str) -> str:
    return BATTERY.replace("OFF\n", off).replace("ON\n", on)


@pytest.mark.parametrize("kind", ["manual", "standard"])
def test_a_makers_own_order_of_the_leads_passes_with_its_source_on_the_step(kind):
    assert "R09" not in codes(battery("source: sheet\n", "source: sheet\n"), kind)


@pytest.mark.parametrize("kind", ["label", "practice", "invented"])
def test_any_other_source_does_not_excuse_the_order_of_the_leads(kind):
    assert "R09" in codes(battery("source: sheet\n", "source: sheet\n"), kind)


def test_a_makers_order_excuses_only_the_step_that_names_it():
    places = [one.place.line for one in found(battery("source: sheet\n", ""), "manual") if one.code == "R09"]
    heading = examples.whole(battery("source: sheet\n", "")).splitlines().index("## Put it back") + 1
    assert places
    assert min(places) > heading


def test_a_makers_order_does_not_excuse_an_earth_lead_that_stays_on():
    text = battery("source: sheet\n", "source: sheet\n")
    stays = text.replace(", disconnect: earth-lead", "").replace("connect: earth-lead, ", "")
    assert "R09" in codes(stays, "manual")


def test_no_source_excuses_live_work_with_a_battery_that_the_pack_does_not_declare():
    text = battery("source: sheet\n", "source: sheet\n")
    bare = text.replace("  earth-lead: {kind: earth-lead, name: battery earth lead, carries: earth}\n", "")
    bare = bare.replace(", disconnect: earth-lead", "").replace("connect: earth-lead, ", "")
    assert "R08" in codes(bare.replace("earth: on, ", ""), "manual")


def rows() -> Iterator[tuple[str, Row]]:
    for rule in SAFETY:
        for row in rule.rows:
            yield rule.code, row


def test_every_rule_of_safety_is_here_and_can_hurt_someone():
    here = {rule.code for rule in SAFETY}
    assert here == {*(f"R{number:02}" for number in range(8, 21)), "R40"}
    assert here <= DANGER
    assert here <= RULES.keys()


def test_only_what_the_trade_table_lets_warn_only_warns():
    warn = {code for code, row in rows() if row.severity == "warning"}
    assert warn == {"R14", "R15"}
    assert {row.severity for code, row in rows() if code == "R15"} == {"warning"}


@pytest.mark.parametrize("code, row", list(rows()), ids=lambda value: value if isinstance(value, str) else "")
def test_every_row_of_safety_says_what_to_do_at_the_vehicle(code, row):
    words = {"name": "the thing", "object": "thing", "state": "so", "moment": "This", "step": "that"}
    for text in (row.what, row.write, row.do):
        said = text.format(**words)
        assert said
        assert "{" not in said
    assert row.do.endswith(".")


def test_brake_fluid_near_paint_only_warns():
    text = (examples.own("R40", "right")).replace("hazards: [paint]\n", "")
    severities = {(one.code, one.severity) for one in found(text)}
    assert severities == {("R20", "warning")}
