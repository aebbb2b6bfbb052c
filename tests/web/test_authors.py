"""The authors' reference holds everything that the compiler knows."""

import re

import pytest

from webapp.pack.codes import CODES
from webapp.pack.reference import sections


@pytest.fixture
def reference(client):
    return client.get("/authors").text


def test_every_key_of_a_pack_is_in_the_reference(reference):
    keys = [(section.id, key.name) for section in sections() for key in section.keys]
    assert len(keys) > 100
    assert [key for key in keys if f"<code>{key[1]}</code>" not in reference] == []


def test_every_finding_is_in_the_reference_under_an_address_of_its_own(reference):
    assert CODES
    assert [code for code in CODES if f'id="{code}"' not in reference] == []


def test_every_link_of_the_reference_leads_somewhere_in_it(reference):
    ids = re.findall(r'\bid="([^"]+)"', reference)
    assert len(ids) == len(set(ids))
    assert set(re.findall(r'href="#([^"]+)"', reference)) - set(ids) == set()
