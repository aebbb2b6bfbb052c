"""Pictures: only from the pack's own folder, of kinds that cannot act, with words for who cannot see them."""

from __future__ import annotations

import hashlib
import io
import re
import warnings
from pathlib import PurePath
from urllib.parse import unquote
from xml.parsers import expat

from markdown_it.token import Token
from PIL import Image

from .compiled import Picture
from .draft import Draft
from .findings import INVISIBLE, Place, did_you_mean, listed
from .outline import find_in_lines

LARGEST = 2_000_000
"""Bytes of one picture."""
ALL_TOGETHER = 50_000_000
"""Bytes of all pictures of one pack."""
WIDEST = 8_000
"""Pixels of either side."""
KINDS = {
    ".svg": "image/svg+xml",
    ".png": "image/png",
    ".jpg": "image/jpeg",
    ".jpeg": "image/jpeg",
    ".webp": "image/webp",
}

SVG_ELEMENTS = frozenset(
    [
        "svg",
        "g",
        "defs",
        "title",
        "desc",
        "path",
        "line",
        "polyline",
        "polygon",
        "rect",
        "circle",
        "ellipse",
        "text",
        "tspan",
        "marker",
        "pattern",
        "clipPath",
        "mask",
        "linearGradient",
        "radialGradient",
        "stop",
        "symbol",
        "use",
        "style",
    ]
)
"""What a drawing is made of: no script, link, animation, foreign content or embedded picture."""


class Unfit(ValueError):  # noqa: N818
    """A picture that cannot be taken; says why."""


def read_pictures(draft: Draft) -> None:
    """Check every picture that the prose shows, and keep those that can be shown."""
    room = ALL_TOGETHER
    shown = [
        (block, child)
        for block in (draft.outline.words() if draft.outline else ())
        for child in block.children or ()
        if child.type == "image"
    ]
    for block, token in shown:
        name = name_of(token)
        place = find_in_lines(draft.lines, draft.body_line - 1, block, name or "![", draft.file)
        if not token.content.strip():
            draft.report(
                "picture-no-alt",
                place,
                f"the picture “{name[:60]}” has no words",
                "a screen reader, and a sheet whose picture is missing, have nothing else",
                "![Housing bolts, numbered in tightening order](bolts.svg)",
            )
        if name in draft.pictures:
            continue
        picture = take_picture(draft, name, place)
        if picture is None:
            continue
        room -= len(picture.content)
        if room < 0:
            draft.report(
                "pack-too-big",
                place,
                f"the pictures up to this one have more than {ALL_TOGETHER // 1_000_000} MB",
                "a phone must hold the whole job",
                "line drawings as SVG, smaller photos, or several packs",
            )
            return
        draft.pictures[name] = picture


def take_picture(draft: Draft, name: str, place: Place) -> Picture | None:
    """Return a picture of the pack's folder, or report why it cannot be taken."""
    if not re.fullmatch(r"\w[\w. -]*", name) or ".." in name:
        draft.report(
            "picture-outside",
            place,
            f"“{name[:60]}” is not a file of the pack's folder",
            "a pack stands alone: nothing is fetched from elsewhere on the disk or the network",
            "put the picture beside pack.md and write its name alone: ![…](bolts.svg)",
        )
        return None
    try:
        content = draft.files.get(name)
    except OSError as problem:
        draft.report(
            "picture-outside",
            place,
            f"the picture “{name[:60]}” cannot be opened: {problem.strerror}",
            "a pack stands alone: nothing is fetched from elsewhere on the disk or the network",
            "put the picture itself beside pack.md, as a file that can be read",
        )
        return None
    if content is None:
        known = [one for one in draft.files if ending_of(one) in KINDS]
        draft.report(
            "picture-missing",
            place,
            f"there is no picture “{name[:60]}” in the pack's folder{did_you_mean(name, known)}",
            "the step would show an empty box",
            f"one of: {listed(known)}" if known else "put the picture beside pack.md",
        )
        return None
    try:
        return read_picture(name, content)
    except Unfit as unfit:
        draft.report(
            "picture-unfit",
            place,
            f"the picture “{name[:60]}” {unfit}",
            "it could not be shown safely on every phone and on the sheet",
            "a line drawing as plain SVG, or a photo as PNG, JPEG or WebP, under 2 MB",
        )
        return None


def name_of(token: Token) -> str:
    """Return the file that a picture's token names; Markdown has its signs escaped by then."""
    return INVISIBLE.sub("\ufffd", unquote(str(token.attrGet("src") or "")))


def ending_of(name: str) -> str:
    """Return what a file's name ends on, with its point, in small letters."""
    return PurePath(name).suffix.lower()


def read_picture(name: str, content: bytes) -> Picture:
    """Return a picture that is fit to be shown; raise Unfit when it is not."""
    ending = ending_of(name)
    if ending not in KINDS:
        raise Unfit(f"is none of {listed(KINDS)}")
    if len(content) > LARGEST:
        raise Unfit(f"has {len(content) / 1e6:.1f} MB")
    width, height = svg_size(content) if ending == ".svg" else image_size(content, KINDS[ending])
    file = hashlib.sha256(content).hexdigest()[:24] + ending.replace(".jpeg", ".jpg")
    return Picture(name, file, KINDS[ending], width, height, content)


def image_size(content: bytes, media_type: str) -> tuple[int, int]:
    """Return the width and height of a PNG, JPEG or WebP in pixels, without decoding it."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            with Image.open(io.BytesIO(content), formats=["PNG", "JPEG", "WEBP"]) as image:
                width, height, kind = image.width, image.height, image.format
    except Image.DecompressionBombError:
        raise Unfit(f"has too many pixels; at most {WIDEST} either way") from None
    except Exception:  # a decoder fails in many ways on what is no picture
        raise Unfit("cannot be read as a picture") from None
    if media_type != ("image/jpeg" if kind == "MPO" else Image.MIME.get(kind or "")):  # MPO: JPEGs in a row
        raise Unfit("is not what its ending says")
    if not (0 < width <= WIDEST and 0 < height <= WIDEST):
        raise Unfit(f"is {width} × {height} pixels; at most {WIDEST} either way")
    return width, height


SVG = "http://www.w3.org/2000/svg"


def svg_size(content: bytes) -> tuple[int, int]:
    """Return the size of a drawing from its attributes or its viewBox; raise Unfit if it could act."""
    root: dict[str, str] = {}
    inside: list[str] = []
    parts = 0

    def start(tag: str, attributes: dict[str, str]) -> None:
        nonlocal parts
        space, _, name = tag.rpartition(" ")
        if not inside:
            if (space, name) != (SVG, "svg"):
                raise Unfit(f'is not an SVG drawing: <svg xmlns="{SVG}"> is missing')
            root.update(attributes)
        inside.append(name)
        parts += 1
        if len(inside) > 60 or parts > 20_000:
            raise Unfit("is nested too deep or has too many parts")
        if name not in SVG_ELEMENTS:
            raise Unfit(f"holds <{name[:30]}>, which a drawing does not need")
        for key, value in attributes.items():
            key = key.rpartition(" ")[2].lower()
            reaches = key == "base" or (key == "href" and not value.startswith("#"))
            if key.startswith("on") or reaches or _FETCHES.search(value):
                raise Unfit(f"has the attribute {key[:30]}, which acts or reaches outside the drawing")

    def end(tag: str) -> None:
        inside.pop()

    def text(data: str) -> None:
        if inside[-1] == "style" and ("@" in data or _FETCHES.search(data)):
            raise Unfit("has a style that reaches outside the drawing")

    def declaration(version: str, encoding: str | None, standalone: int) -> None:
        if encoding and encoding.lower() != "utf-8":
            raise Unfit("is not UTF-8 text")

    def refuse(*_: object) -> None:
        raise Unfit("declares a document type, entities or a processing instruction")

    parser = expat.ParserCreate("utf-8", namespace_separator=" ")
    parser.buffer_text = True
    parser.StartElementHandler, parser.EndElementHandler, parser.CharacterDataHandler = start, end, text
    parser.XmlDeclHandler = declaration
    parser.StartDoctypeDeclHandler = parser.EntityDeclHandler = parser.ProcessingInstructionHandler = refuse
    try:
        parser.Parse(content, True)
    except expat.ExpatError as problem:
        raise Unfit(f"is not well-formed XML (line {problem.lineno})") from None
    box = re.split(r"[\s,]+", root.get("viewBox", ""))
    width = length(root.get("width", "")) or (length(box[2]) if len(box) == 4 else 0)
    height = length(root.get("height", "")) or (length(box[3]) if len(box) == 4 else 0)
    if not (0 < width <= WIDEST and 0 < height <= WIDEST):
        raise Unfit(f"has neither width and height nor a viewBox, from 1 to {WIDEST}")
    return width, height


def length(text: str) -> int:
    """Return a length in pixels, or 0 when it is none."""
    number = re.fullmatch(r"([0-9]{1,5}(?:\.[0-9]+)?)(?:px)?", text.strip())
    return round(float(number[1])) if number else 0


_FETCHES = re.compile(r"\\|url\(\s*+(?!['\"]?#)|(?:image-set|image|src|cross-fade|element)\(", re.I)
"""A style or value that fetches something; a backslash could hide it."""
