"""The program over two small packs: one whole, one misspelt."""

from pathlib import Path

import pytest

from webapp.web import create_app

PACKS = Path(__file__).parent / "packs"
ADDRESS = "https://bay.test:8443"


@pytest.fixture(scope="session")
def app():
    return create_app(PACKS, ADDRESS)


@pytest.fixture
def client(app):
    return app.test_client()


@pytest.fixture
def pack(app):
    """The small pack, compiled as the program serves it."""
    return app.extensions["shelf"].by_slug("drain-plug").pack
