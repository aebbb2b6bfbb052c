"""The phone's computations, run in the browser and held to the vectors that hold the Python side."""

import json
import math
import random
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from threading import Thread

import pytest

from tests.vectors import machine_twin as twin
from webapp.compile import compile_folder

ROOT = Path(__file__).parent.parent
VECTORS = ROOT / "tests" / "vectors"


class Quiet(SimpleHTTPRequestHandler):
    def log_message(self, *_):
        """Say nothing: only what fails is of interest."""


@pytest.fixture(scope="module")
def files():
    """The address of a server that hands out static/ and no more."""
    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(Quiet, directory=ROOT / "static"))
    Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}"
    server.shutdown()
    server.server_close()


@pytest.fixture
def ask(page, files):
    """Run a JavaScript expression over many vectors, with the exports of one module as `m`."""
    page.goto(f"{files}/js/units.js")  # any page of that origin

    def run(module, expression, vectors):
        assert vectors, "a test over no vectors would pass by looking at nothing"
        return page.evaluate(
            f"async (vectors) => {{ const m = await import('{files}/js/{module}');"
            f" return vectors.map((v) => {expression}) }}",
            vectors,
        )

    return run


def vectors(name, table):
    return json.loads((VECTORS / name).read_text(encoding="utf-8"))[table]


def same(mine, theirs):
    """Return whether two plain values are the same, numbers but for their last bits."""
    if isinstance(theirs, dict):
        return mine.keys() >= theirs.keys() and all(same(mine[key], theirs[key]) for key in theirs)
    if isinstance(theirs, float | int):
        return math.isclose(mine, theirs, rel_tol=1e-11, abs_tol=1e-11)
    return mine == theirs


def test_the_phone_works_out_the_same_wait_with_the_same_working(ask):
    waits = vectors("cure.json", "waits")
    (words,) = vectors("cure.json", "words")
    expression = """(() => { try { return m.stretched(v.wait) }
      catch ({what, why, write}) { return {refused: {what, why, write}} } })()"""
    answers = ask("cure.js", expression, waits)
    for vector, mine in zip(waits, answers, strict=True):
        expected = vector["answer"] if "refused" in vector["answer"] else vector["answer"] | words
        assert same(mine, expected), vector["wait"]


def test_the_phone_converts_as_the_server_does(ask):
    given = vectors("amounts.json", "conversions")
    answers = ask("units.js", "m.convert(v.value, v.from, v.to, v.kind)", given)
    for vector, mine in zip(given, answers, strict=True):
        assert same(mine, vector["answer"]), vector


def test_the_phone_knows_the_units_of_the_server_and_no_others(ask):
    given = vectors("amounts.json", "conversions")
    (known,) = ask("units.js", "Object.keys(m.UNITS)", [None])
    assert set(known) == {vector["from"] for vector in given}


def test_the_phone_judges_a_reading_in_either_unit(ask):
    given = vectors("amounts.json", "judged")
    answers = ask("units.js", "m.judge(v.value, v.unit, v.range)", given)
    assert answers == [vector["answer"] for vector in given]


def test_the_phone_reads_a_decimal_comma_and_asks_back_what_may_be_thousands(ask):
    given = vectors("amounts.json", "typed")
    answers = ask("units.js", "m.readNumber(v.text)", given)
    for vector, mine in zip(given, answers, strict=True):
        assert same(mine, {"value": vector["value"], "ask": vector["ask"]}), vector["text"]
        assert len(mine["ask"]) == len(vector["ask"])


def test_the_phone_refuses_to_convert_between_measures_of_two_kinds(ask):
    (message,) = ask(
        "units.js",
        "(() => { try { return m.convert(1, 'psi', 'mm') } catch (e) { return e.message } })()",
        [0],
    )
    assert message == "psi and mm do not measure the same"


REFUSED = "catch ({what, why, write}) { return {refused: {what, why, write}} }"


def test_the_phone_sets_the_same_wrench_to_the_same_mark_and_refuses_in_the_same_words(ask):
    given = vectors("wrench.json", "choices")
    expression = f"""(() => {{ try {{
        const own = v.wrenches.map((one) => ({{...one, months: one.months ?? 0}}))
        const found = m.choose(v.figure, own)
        return {{wrench: own.indexOf(found.wrench), setting: found.setting, error: found.error,
                 cautions: m.cautions(found, v.figure)}} }} {REFUSED} }})()"""
    for vector, mine in zip(given, ask("wrench.js", expression, given), strict=True):
        assert same(mine, vector["answer"]), (vector, mine)
    assert {"refused" in vector["answer"] for vector in given} == {True, False}


def test_the_phone_corrects_for_an_adapter_as_the_server_does(ask):
    given = vectors("wrench.json", "factors")
    expression = f"(() => {{ try {{ return {{factor: m.factor(v.adapter)}} }} {REFUSED} }})()"
    for vector, mine in zip(given, ask("wrench.js", expression, given), strict=True):
        assert same(mine, vector["answer"]), (vector, mine)
    given = vectors("wrench.json", "adapted")
    expression = f"""(() => {{ try {{
        return m.dial(m.corrected(v.figure, v.adapter), v.wrench) }} {REFUSED} }})()"""
    for vector, mine in zip(given, ask("wrench.js", expression, given), strict=True):
        wanted = vector["answer"]
        if "refused" in wanted:
            assert "refused" in mine, vector
        else:
            assert same({"setting": mine["setting"]}, {"setting": wanted["setting"]}), (vector, mine)


def test_the_phone_keeps_no_wrench_that_cannot_be(ask):
    given = vectors("wrench.json", "kept")
    expression = "(({what, why, write}) => what && {refused: {what, why, write}})(m.fault(v.wrench) ?? {})"
    for vector, mine in zip(given, ask("wrench.js", expression, given), strict=True):
        wanted = vector["answer"]
        assert bool(mine) == bool(wanted), vector
        if wanted:
            assert mine["refused"]["write"] == wanted["refused"]["write"], vector


MACHINE = """(() => {
    const model = m.prepare(v.tables)
    const pack = {...v.pack, step: new Map(v.pack.steps.map((step) => [step.id, step])),
        waits: new Map(Object.entries(v.pack.waits).map(([id, step]) => [id, {id, step, least: 1, most: null,
            until: [], attended: false, stretches: false}]))}
    const now = v.now ?? undefined
    const steps = ["", "*", ...pack.step.keys()]
    const unmet = steps.map((step) => [step, m.unmet(model, pack, v.state, step, now)])
    return {
        machine: Object.fromEntries(m.machine(model, pack, v.state, now)),
        board: m.board(model, pack, v.state, now),
        unmet: Object.fromEntries(unmet.filter(([, found]) => found.length)),
        permits: m.permits(model, pack, v.state, now),
        stop: m.stopSafely(model, pack, v.state, now),
    } })()"""


def test_the_phone_says_of_the_machine_what_its_vectors_say(ask):
    (pack,) = vectors("machine.json", "packs")
    states = vectors("machine.json", "states")
    answers = ask(
        "machine.js", MACHINE, [{**pack, "state": one["state"], "now": one["now"]} for one in states]
    )
    for vector, mine in zip(states, answers, strict=True):
        assert mine == vector["answer"], vector["name"]


@pytest.mark.parametrize("slug", sorted(one.name for one in (ROOT / "content").iterdir()))
def test_the_phone_says_of_a_pack_that_ships_what_its_tables_say_in_any_order(ask, slug):
    pack = compile_folder(ROOT / "content" / slug).pack
    tables = json.loads(json.dumps(pack.model.plain()))
    plain = twin.pack_of(pack)
    questions = {name: list(question.answers) for name, question in pack.front.questions.items()}
    states = list(twin.random_states(random.Random(slug), plain, questions, 12))
    given = [
        {"tables": tables, "pack": plain, "state": one, "now": now} for one in states for now in (None, 60)
    ]
    for one, mine in zip(given, ask("machine.js", MACHINE, given), strict=True):
        answer = twin.answers(tables, plain, one["state"], one["now"])
        assert mine == json.loads(json.dumps(answer)), (one["state"], one["now"])


def test_a_tick_taken_back_is_judged_as_if_it_had_never_been(page, files):
    (given,) = vectors("machine.json", "packs")
    page.goto(f"{files}/js/units.js")
    log = [("chock", 1), ("cover-off", 2), ("rag-in", 3), ("rag-out", 4), ("cover-on", 5)]
    entries = [
        {"id": f"{stamp}", "kind": "step-done", "step": step, "stamp": stamp, "at": stamp, "data": {}}
        for step, stamp in log
    ]
    undone = {"id": "9", "kind": "step-undone", "step": "rag-out", "stamp": 9, "at": 9, "data": {}}
    before, after, never = page.evaluate(
        f"""async ([v, ...logs]) => {{
            const m = await import('{files}/js/machine.js'), {{ fold }} = await import('{files}/js/fold.js')
            return logs.map(fold).map((state) => {{ v.state = state; return {MACHINE} }})
        }}""",
        [given, entries, [*entries, undone], [one for one in entries if one["step"] != "rag-out"]],
    )
    assert after == never
    rag = {"id": "temporary:rag", "since": "rag-in", "fix": "rag-out"}
    assert [one for one in after["board"] if rag.items() <= one.items()]
    assert not [one for one in before["board"] if one["id"] == rag["id"]]
    # The cover was on before: it says now what it was put on over.
    assert [one["rule"] for one in after["unmet"]["cover-on"]] == ["R01"]
    assert "cover-on" not in before["unmet"]
