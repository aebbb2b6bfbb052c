"""What every answer tells the browser."""

import gzip
import re

import brotli
import pytest

PAGES = ["/", "/shelf", "/packs/drain-plug", "/packs/misspelt", "/packs/drain-plug/kit", "/authors", "/nope"]


def policy(response):
    return dict(part.split(" ", 1) for part in response.headers["Content-Security-Policy"].split("; "))


@pytest.mark.parametrize("address", PAGES)
def test_a_page_may_load_nothing_but_our_own_files(client, address):
    allowed = policy(client.get(address))
    assert allowed.pop("default-src") == "'none'"
    assert allowed.pop("base-uri") == "'none'"
    assert allowed.pop("frame-ancestors") == "'none'"
    assert set(allowed) >= {"script-src", "style-src", "img-src", "connect-src", "worker-src", "manifest-src"}
    assert set(allowed.values()) == {"'self'"}


@pytest.mark.parametrize("address", PAGES)
def test_a_page_names_no_address_but_our_own(client, address):
    loaded = re.findall(r'(?:src|href|action|hx-get)="([^"]*)"', client.get(address).text)
    assert [found for found in loaded if not re.match(r"/(?!/)|#", found)] == []


@pytest.mark.parametrize("address", PAGES)
def test_nobody_is_remembered(client, address):
    response = client.get(address)
    assert "Set-Cookie" not in response.headers
    assert response.headers["Referrer-Policy"] == "no-referrer"
    assert response.headers["X-Content-Type-Options"] == "nosniff"
    assert "camera=()" in response.headers["Permissions-Policy"]


def test_the_job_page_may_carry_its_one_style_and_no_other(client, pack):
    response = client.get(f"/jobs/{pack.hash}")
    styles = re.findall(r"<style>(.*?)</style>", response.text, re.S)
    assert len(styles) == 1
    import base64
    import hashlib

    digest = base64.b64encode(hashlib.sha256(styles[0].encode()).digest()).decode()
    assert policy(response)["style-src"] == f"'self' 'sha256-{digest}'"


def test_a_page_that_did_not_change_is_not_sent_again(client):
    for coding in ("identity", "gzip", "br"):
        first = client.get("/authors", headers={"Accept-Encoding": coding})
        assert first.headers.get("Content-Encoding", "identity") == coding
        again = client.get(
            "/authors", headers={"Accept-Encoding": coding, "If-None-Match": first.headers["ETag"]}
        )
        assert (again.status_code, again.data) == (304, b"")


@pytest.mark.parametrize("coding, unpack", [("gzip", gzip.decompress), ("br", brotli.decompress)])
def test_a_page_is_sent_packed_to_a_browser_that_can_unpack_it(client, coding, unpack):
    plain = client.get("/authors", headers={"Accept-Encoding": "identity"})
    packed = client.get("/authors", headers={"Accept-Encoding": coding})
    assert packed.headers["Content-Encoding"] == coding
    assert unpack(packed.data) == plain.data
    assert len(packed.data) < len(plain.data) / 3


def test_a_picture_opened_by_itself_can_do_nothing(app, client, tmp_path):
    from webapp.web import create_app

    from .conftest import PACKS

    folder = tmp_path / "drain-plug"
    folder.mkdir()
    drawing = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9" width="9" height="9"/>'
    (folder / "plug.svg").write_text(drawing, "utf-8")
    source = (PACKS / "drain-plug" / "pack.md").read_text("utf-8")
    source = source.replace("Pour slowly.", "Pour slowly. ![The plug from below](plug.svg)")
    (folder / "pack.md").write_text(source, "utf-8")
    client = create_app(tmp_path).test_client()
    (picture,) = client.application.extensions["shelf"].by_slug("drain-plug").pack.pictures
    response = client.get(f"/pictures/{picture.file}")
    assert response.mimetype == "image/svg+xml"
    assert "sandbox" in response.headers["Content-Security-Policy"]
    assert "script" not in response.headers["Content-Security-Policy"]
    assert "immutable" in response.headers["Cache-Control"]
