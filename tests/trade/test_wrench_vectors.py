"""What the phone sets a wrench to is what is said here: tests/vectors/wrench.json holds both."""

import importlib.util
import json
from pathlib import Path

VECTORS = Path(__file__).parents[1] / "vectors"


def test_the_vectors_of_the_wrench_say_what_the_trade_says():
    """The vectors hold static/js/wrench.js too, in e2e/test_vectors.py."""
    spec = importlib.util.spec_from_file_location("write_wrench", VECTORS / "write_wrench.py")
    writer = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(writer)
    written = json.loads((VECTORS / "wrench.json").read_text(encoding="utf-8"))
    answers = json.loads(json.dumps(writer.tables()))
    assert written.keys() == answers.keys()
    for table, vectors in answers.items():
        assert vectors
        for vector, kept in zip(vectors, written[table], strict=True):
            assert vector == kept
