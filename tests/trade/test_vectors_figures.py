"""What the phone answers on the bench is what the server answers: tests/vectors/figures.json holds both."""

import importlib.util
import json
from pathlib import Path

import pytest

from webapp import figures
from webapp.web.bench import ON_THE_PHONE

VECTORS = Path(__file__).parents[1] / "vectors"


def writer():
    spec = importlib.util.spec_from_file_location("write_figures", VECTORS / "write_figures.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def written():
    return json.loads((VECTORS / "figures.json").read_text(encoding="utf-8"))


def expanded(table):
    """Return a table with its shared sentences put in, so that their order does not count."""
    phrases = table["phrases"]
    return {
        name: [
            (one["texts"], one["answer"])
            if "lines" not in one["answer"]
            else (
                one["texts"],
                one["answer"]["lines"],
                one["answer"]["working"],
                phrases[one["answer"]["source"]],
                phrases[one["answer"]["validity"]],
                [phrases[caution] for caution in one["answer"]["cautions"]],
            )
            for one in figure["answers"]
        ]
        for name, figure in table["figures"].items()
    }


def test_the_vectors_say_what_the_bench_says_now(written):
    """If this fails, run tests/vectors/write_figures.py, and let static/js/bench follow."""
    now = json.loads(writer().text())
    for table in ("units", "bases", "spellings"):
        assert written[table] == now[table]
    before, after = expanded(written), expanded(now)
    assert before.keys() == after.keys()
    for name, answers in after.items():
        assert written["figures"][name]["asks"] == now["figures"][name]["asks"]
        assert len(before[name]) == len(answers)
        for kept, answer in zip(before[name], answers, strict=True):
            assert kept == answer


def test_every_figure_on_the_phone_has_answers_and_refusals_to_be_held_to(written):
    assert set(written["figures"]) == set(ON_THE_PHONE)
    assert set(ON_THE_PHONE) <= figures.by_name().keys()
    for name, figure in written["figures"].items():
        answers = [one["answer"] for one in figure["answers"]]
        assert sum("lines" in answer for answer in answers) >= 20, name
        assert sum("refused" in answer for answer in answers) >= 10, name
