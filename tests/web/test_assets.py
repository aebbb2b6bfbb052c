"""The files of static/ may be kept for good under the address of their release."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp import places
from webapp.web.assets import Assets, css_bundle, stripped


def test_every_file_that_a_page_names_is_there_and_may_be_kept_for_good(client):
    addresses = set(
        re.findall(r'"(/static/[^"]+)"', client.get("/").text + client.get("/packs/drain-plug").text)
    )
    assert len(addresses) >= 5
    for address in addresses:
        response = client.get(address)
        assert response.status_code == 200, address
        assert "immutable" in response.headers["Cache-Control"]


def test_a_file_by_its_lasting_name_is_asked_for_anew(client):
    response = client.get("/static/css/base.css")
    assert response.headers["Cache-Control"] == "no-cache"
    assert response.headers["ETag"]


def test_a_file_of_another_release_is_served_as_it_is_now_but_not_kept(client):
    response = client.get("/static/v-000000000000/css/base.css")
    assert response.status_code == 200
    assert response.headers["Cache-Control"] == "no-cache"


def test_a_neighbour_of_a_module_is_of_the_same_release(client):
    """Modules import each other by relative paths, so the release must be in the path, not the query."""
    address = re.search(r'"(/static/v-\w+/js/theme\.js)"', client.get("/").text)[1]
    assert client.get(address.replace("theme.js", "toggle.js")).headers["Cache-Control"].endswith("immutable")


@pytest.mark.parametrize("change", ["content", "name", "boundary"])
def test_another_release_has_another_address(tmp_path, change):
    (tmp_path / "a.css").write_text("one")
    (tmp_path / "b.css").write_text("two")
    before = Assets(tmp_path).release
    assert Assets(tmp_path).release == before
    if change == "content":
        (tmp_path / "a.css").write_text("One")
    elif change == "name":
        (tmp_path / "a.css").rename(tmp_path / "c.css")
    else:  # the same bytes in a row, parted elsewhere
        (tmp_path / "a.css").write_text("onet")
        (tmp_path / "b.css").write_text("wo")
    assert Assets(tmp_path).release != before


@pytest.mark.parametrize(
    "name, kind",
    [
        ("js/theme.js", "text/javascript"),
        ("css/base.css", "text/css"),
        ("icons/icon.svg", "image/svg+xml"),
        ("icons/icon-192.png", "image/png"),
    ],
)
def test_a_file_has_the_type_that_a_browser_insists_on(client, name, kind):
    assert client.get(f"/static/{name}").mimetype == kind


def test_the_manifest_has_what_a_phone_needs_to_install_it(client):
    """Chrome: name, icons of 192 and 512, start_url, display (web.dev, install criteria)."""
    response = client.get("/manifest.webmanifest")
    assert response.mimetype == "application/manifest+json"
    manifest = response.get_json(force=True)
    assert manifest["id"] == manifest["start_url"] == "/"
    assert manifest["display"] == "standalone"
    assert {icon["sizes"] for icon in manifest["icons"]} == {"192x192", "512x512"}
    for icon in manifest["icons"]:
        content = client.get(icon["src"]).data
        width = int.from_bytes(content[16:20], "big")  # PNG: width in the IHDR chunk
        assert f"{width}x{width}" == icon["sizes"]


def test_htmx_is_the_pinned_release_and_its_licence_is_noted():
    assert b'version:"2.0.11"' in (places.STATIC / "vendor" / "htmx-2.0.11.min.js").read_bytes()
    assert "Zero-Clause BSD" in (places.STATIC / "vendor" / "README.md").read_text("utf-8")


def test_a_bundle_of_style_says_the_same_in_fewer_bytes():
    bundle = css_bundle("tokens.css", "base.css")
    whole = sum((places.STATIC / "css" / name).stat().st_size for name in ("tokens.css", "base.css"))
    assert len(bundle.encode()) < whole
    assert "/*" not in bundle
    for kept in (
        "@layer tokens,base,layout,parts,states,print;",
        ":root:not([data-theme=",
        "env(safe-area-inset-bottom)",
    ):
        assert kept in bundle
    assert bundle.count("{") == bundle.count("}")
    assert '::before{content:"(";}' in bundle


@pytest.mark.parametrize(
    "css, short",
    [
        (".a .b > .c,\n.d { margin: 0 -1px; }", ".a .b > .c,.d{margin:0 -1px;}"),
        ("a :hover { width: calc(1px + 2px) }", "a :hover{width:calc(1px + 2px)}"),
        ('a::before { content: " , /* no comment */ ; "; }', 'a::before{content:" , /* no comment */ ; ";}'),
        ("/* one */ a /* two */ { /* three */ }", "a {}"),
        (
            "@media (min-width: 3px) and (scripting: enabled) {}",
            "@media (min-width:3px) and (scripting:enabled){}",
        ),
    ],
)
def test_a_stripped_style_sheet_reads_the_same(css, short):
    assert re.sub(r"\s+", " ", stripped(css)) == short


@given(
    st.lists(st.sampled_from(["a", " ", "\n", "{", "}", ";", ",", ":", "1px + 2px", ".a .b"]), max_size=30)
)
def test_stripping_only_takes_space_that_means_nothing(parts):
    css = "".join(parts)
    short = stripped(css)
    assert re.sub(r"\s", "", short) == re.sub(r"\s", "", css)
    assert stripped(short) == short
    assert short.count("1px + 2px") == css.count("1px + 2px")
    assert short.count(".a .b") == css.count(".a .b")
