"""Pictures: only from the pack's own folder, of kinds that cannot act, with words for who cannot see them."""

from __future__ import annotations

import hashlib
import io
import re
import warnings
from collections.abc import Iterator
from xml.parsers import expat

from markdown_it.token import Token
from PIL import Image, UnidentifiedImageError

from .compiled import Picture
from .draft import Draft
from .findings import Place, did_you_mean, listed
from .outline import PhaseOutline, StepOutline, find_in_lines

LARGEST = 2_000_000
"""Bytes of one picture."""
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
    for owner, block, token in shown(draft):
        name = str(token.attrGet("src") or "")
        place = place_of(draft, owner, block, name)
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
        content = draft.files.get(name)
        if not re.fullmatch(r"[\w][\w. -]*", name) or ".." in name:
            draft.report(
                "picture-outside",
                place,
                f"“{name[:60]}” is not a file of the pack's folder",
                "a pack stands alone: nothing is fetched from elsewhere on the disk or the network",
                "put the picture beside pack.md and write its name alone: ![…](bolts.svg)",
            )
        elif content is None:
            known = [one for one in draft.files if one != "pack.md"]
            draft.report(
                "picture-missing",
                place,
                f"there is no picture “{name[:60]}” in the pack's folder{did_you_mean(name, known)}",
                "the step would show an empty box",
                f"one of: {listed(known)}" if known else "put the picture beside pack.md",
            )
        else:
            try:
                draft.pictures[name] = read_picture(name, content)
            except Unfit as unfit:
                draft.report(
                    "picture-unfit",
                    place,
                    f"the picture “{name[:60]}” {unfit}",
                    "it could not be shown safely on every phone and on the sheet",
                    "a line drawing as plain SVG, or a photo as PNG, JPEG or WebP, under 2 MB",
                )


def shown(draft: Draft) -> Iterator[tuple[PhaseOutline | StepOutline, Token, Token]]:
    """Yield each picture of the prose with its owner and its block."""
    for phase in draft.outline.phases if draft.outline else ():
        owners: list[PhaseOutline | StepOutline] = [phase, *phase.steps]
        for owner in owners:
            for block in owner.prose:
                for child in block.children or ():
                    if child.type == "image":
                        yield owner, block, child


def place_of(draft: Draft, owner: PhaseOutline | StepOutline, block: Token, name: str) -> Place:
    """Return where a picture is named."""
    if not block.map:
        return owner.place
    return find_in_lines(draft.lines, draft.body_line - 1, block, name or "![", draft.file)


def read_picture(name: str, content: bytes) -> Picture:
    """Return a picture that is fit to be shown; raise Unfit when it is not."""
    ending = "." + name.rsplit(".", 1)[-1].lower() if "." in name else ""
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
                width, height, found = image.width, image.height, Image.MIME.get(image.format or "")
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError, Image.DecompressionBombError):
        raise Unfit("cannot be read as a picture") from None
    if found != media_type:
        raise Unfit("is not what its ending says")
    if not (0 < width <= WIDEST and 0 < height <= WIDEST):
        raise Unfit(f"is {width} × {height} pixels; at most {WIDEST} either way")
    return width, height


def svg_size(content: bytes) -> tuple[int, int]:
    """Return the size of a drawing from its attributes or its viewBox; raise Unfit if it could act."""
    found: dict[str, str] = {}
    depth = most = 0

    def start(tag: str, attributes: dict[str, str]) -> None:
        nonlocal depth, most
        depth += 1
        most += 1
        name = tag.rsplit(" ", 1)[-1]
        if depth > 60 or most > 20_000:
            raise Unfit("is nested too deep or has too many parts")
        if depth == 1:
            if name != "svg":
                raise Unfit("is not an SVG drawing")
            found.update(attributes)
        if name not in SVG_ELEMENTS:
            raise Unfit(f"holds <{name[:30]}>, which a drawing does not need")
        for key, value in attributes.items():
            key = key.rsplit(" ", 1)[-1].lower()
            if key.startswith("on") or (key == "href" and not value.startswith("#")) or unsafe_style(value):
                raise Unfit(f"has the attribute {key[:30]}, which reaches outside the drawing")

    def end(tag: str) -> None:
        nonlocal depth
        depth -= 1

    def text(data: str) -> None:
        if unsafe_style(data):
            raise Unfit("has a style that reaches outside the drawing")

    def refuse(*_: object) -> None:
        raise Unfit("declares a document type, entities or a processing instruction")

    parser = expat.ParserCreate(namespace_separator=" ")
    parser.buffer_text = True
    parser.StartElementHandler, parser.EndElementHandler, parser.CharacterDataHandler = start, end, text
    parser.StartDoctypeDeclHandler = parser.EntityDeclHandler = parser.ProcessingInstructionHandler = refuse
    try:
        parser.Parse(content, True)
    except expat.ExpatError as problem:
        raise Unfit(f"is not well-formed XML (line {problem.lineno})") from None
    box = [float(number) for number in re.findall(r"-?\d+(?:\.\d+)?", found.get("viewBox", ""))]
    sizes = []
    for side, position in (("width", 2), ("height", 3)):
        written = re.fullmatch(r"(\d+(?:\.\d+)?)(px)?", found.get(side, "").strip())
        size = float(written[1]) if written else box[position] if len(box) == 4 else 0
        sizes.append(round(size))
    if not all(0 < size <= WIDEST for size in sizes):
        raise Unfit("has neither width and height nor a viewBox")
    return sizes[0], sizes[1]


def unsafe_style(text: str) -> bool:
    """Return whether a style or value fetches anything."""
    folded = text.lower()
    return (
        "@import" in folded
        or "javascript:" in folded
        or re.search(r"url\(\s*['\"]?(?!#)[^)]", folded) is not None
    )
