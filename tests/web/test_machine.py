"""The tables of a job's machine as the server gives them, and what the page says of them."""

import json
from types import SimpleNamespace

import pytest

from webapp import places
from webapp.web import create_app
from webapp.web.job import later, modules, phone
from webapp.web.job import source as text_of


@pytest.fixture(scope="module")
def shipped():
    """The program over the packs that ship, and one of these."""
    app = create_app(places.CONTENT)
    pack = app.extensions["shelf"].by_slug("inlet-manifold").pack
    return SimpleNamespace(client=app.test_client(), pack=pack, address=f"/jobs/{pack.hash}")


def test_the_tables_lie_under_the_packs_hash_and_never_change(shipped):
    response = shipped.client.get(f"{shipped.address}/machine.json")
    assert response.mimetype == "application/json"
    assert "immutable" in response.headers["Cache-Control"]
    assert response.json == json.loads(json.dumps(shipped.pack.model.plain()))


def test_of_a_move_the_entries_keep_their_order(shipped):
    """After a move that was not possible, a thing is where its first entry leads."""
    sent = shipped.client.get(f"{shipped.address}/machine.json").json["variables"]
    kept = {variable.id: variable for variable in shipped.pack.model.variables}
    orders = [
        (list(to), list(move.to))
        for one in sent
        for (_, _, to, *_), move in zip(one["moves"], kept[one["id"]].moves, strict=True)
        if isinstance(to, dict)
    ]
    assert any(sorted(own) != own for _, own in orders)
    assert all(mine == own for mine, own in orders)


def test_tables_of_a_pack_that_is_not_there_are_gone(shipped):
    assert shipped.client.get("/jobs/0123456789abcdef/machine.json").status_code == 404


def test_the_page_names_its_tables_and_the_modules_that_come_later(shipped):
    page = shipped.client.get(shipped.address).text
    assert f'data-machine="{shipped.address}/machine.json"' in page
    (named,) = (part.split('"')[0].split() for part in page.split('data-later="')[1:])
    assert [url.split("/js/")[1] for url in named] == later()
    for url in named:
        assert shipped.client.get(url).status_code == 200


def test_what_comes_later_is_asked_for_with_all_that_it_needs(shipped):
    found = set(later())
    assert {"bench/fill.js", "bench/say.js"} <= found  # what it imports from its own folder
    assert not found & set(modules())
    assert "machine.js" not in modules()  # nobody waits for the machine


def test_imports_are_told_apart_by_when_they_come():
    text = (
        'import { a } from "./a.js"\nimport {\n  b,\n} from "../b.js"\nconst c = await import("./d/c.js")\n'
    )
    assert phone.imported(text) == ["a.js", "../b.js"]
    assert phone.imported(text, later=True) == ["d/c.js"]
    assert "course.js" in phone.imported(text_of("machine.js"))
