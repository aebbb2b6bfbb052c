"""The authors' reference holds everything that the compiler knows."""

import re
from html import unescape
from typing import get_args

import pytest
from markupsafe import escape

from webapp.compile import compile_bytes
from webapp.pack.amounts import read_any
from webapp.pack.reference import FORMS, SMALLEST_PACK, sections, units_by_kind
from webapp.proof.explain import explanations
from webapp.proof.rules import RULES
from webapp.trade.units import UNITS, Form


@pytest.fixture
def reference(client):
    return client.get("/authors").text


def test_every_key_of_a_pack_is_in_the_reference(reference):
    keys = [(section.id, key.name) for section in sections() for key in section.keys]
    assert len(keys) > 100
    assert [key for key in keys if f"<code>{key[1]}</code>" not in reference] == []


def test_every_finding_is_in_the_reference_under_an_address_of_its_own(reference):
    assert len(explanations()) > 100
    assert [code for code in explanations() if reference.count(f'id="{code}"') != 1] == []


def test_the_table_holds_every_rule_with_what_it_checks_and_whether_it_may_be_accepted(reference):
    rows = re.findall(r"<tr role=\"row\"><th scope=\"row\"(.*?)</tr>", reference)
    told = {re.search(r"#(R\d\d)", row)[1]: row for row in rows}
    assert list(told) == list(RULES)
    for code, rule in RULES.items():
        cells = [
            unescape(re.sub(r"<.*?>", "", cell)) for cell in re.findall(r"<td .*?>(.*?)</td>", told[code])
        ]
        accept = explanations()[code].accept
        assert cells == [rule.title, rule.severity, plain(rule.checks), plain(rule.why), accept]


def words(html):
    return unescape(re.sub(r"<.*?>", "", html))


def plain(text):
    return text.replace("`", "")


def test_every_rule_shows_a_wrong_and_a_right_example(reference):
    for code in RULES:
        known = explanations()[code]
        section = reference.split(f'<section id="{code}">')[1].split("</section>")[0]
        assert str(escape(known.wrong)).strip() in section
        assert str(escape(known.right)).strip() in section


def test_every_link_of_the_reference_leads_somewhere_in_it(reference):
    ids = re.findall(r'\bid="([^"]+)"', reference)
    assert len(ids) == len(set(ids))
    assert set(re.findall(r'href="#([^"]+)"', reference)) - set(ids) == set()


def test_the_whole_pack_that_authors_copy_compiles_without_a_finding(reference):
    result = compile_bytes(SMALLEST_PACK.encode(), "pack.md", {})
    assert [finding.text() for finding in result.findings] == []
    assert len(result.pack.steps) == 2
    assert str(escape(SMALLEST_PACK)) in reference


def test_every_way_to_write_an_amount_is_one_that_the_compiler_reads(reference):
    forms = {read_any(text).form for text in FORMS.values()}
    assert forms == set(get_args(Form))
    assert [text for text in FORMS.values() if f"<code>{text}</code>" not in reference] == []


def test_every_unit_stands_under_its_kind_with_an_example_of_it(reference):
    listed = {unit for _, units in units_by_kind().values() for unit in units}
    assert listed == set(UNITS)
    assert [unit for unit in UNITS if f"<code>{unit}</code>" not in reference] == []
    for example, units in units_by_kind().values():
        assert read_any(example).kind == UNITS[units[0]].kind


def test_a_key_that_takes_one_or_a_list_says_so():
    types = {(section.id, key.name): key.type for section in sections() for key in section.keys}
    assert types["parts", "for"] == "id from items or fasteners, one or a list"
    assert types["items", "compare"] == "words, one or a list"
    assert types["fasteners", "angle"] == "amount (angle), one or a list"
    assert types["fasteners", "passes"] == "list of amount"


def test_an_example_and_a_default_are_no_part_of_the_sentence(reference):
    assert "For example <code>25 N·m</code>" in reference
    assert "When left out: <code>1</code>" in reference


def test_an_amount_of_any_kind_gets_no_example_of_one_kind():
    keys = {(section.id, key.name): key for section in sections() for key in section.keys}
    assert keys["consumables", "amount"].example == ""
    assert keys["fasteners", "torque"].example == "25 N·m"
