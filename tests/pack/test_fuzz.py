"""Whatever the compiler is given, it answers: a pack or findings, at places that exist, always the same."""

import json
from pathlib import Path
from xml.etree import ElementTree

from hypothesis import example, given, settings
from hypothesis import strategies as st

from webapp import places
from webapp.compile import Result, compile_bytes
from webapp.pack.compiled import Picture
from webapp.pack.findings import INVISIBLE, Finding, Place
from webapp.pack.pictures import Unfit, read_picture
from webapp.pack.yamltree import DEEPEST, Mapping, Refused, Tree, read_yaml
from webapp.proof.explain import explanations

CORPUS = Path(__file__).parent.parent / "corpus"
PLAIN = (CORPUS / "valid" / "side-cover" / "pack.md").read_text("utf-8")
RIGHT = [
    text
    for path in sorted((CORPUS / "valid").glob("*/pack.md"))
    if "\r" not in (text := path.read_text("utf-8-sig"))
]
SHIPPED = [path.read_text("utf-8") for path in sorted(places.CONTENT.glob("*/pack.md"))]
DRAWING = (CORPUS / "valid" / "picture-missing" / "cover.svg").read_bytes()
PHOTO = (CORPUS / "valid" / "picture-unfit-huge" / "cover.png").read_bytes()

BITS = [
    "---", "```", "```step", "```step\n", "# ", "## ", "{#x}", "- ", "  - ", ": ", " #", "&a", "*a", "!!int ",
    "[", "]", "{", "}", "|", ">", "\"", "'", "\t", "\0", "\u202e", "\u200b", "\ufeff", "４", "−", "°", "·",
    "1e999", "nan", "20 lbf·ft", "10,5 N·m", "25 N·m (18 lbf·ft)", "5 min", "at most ", "to ", "–", "<b>",
    "![", "](", "../x.svg", "cover.svg", "&#x202E;", "\\", "*", "**", "`", "~~~", "\n", "\n\n", "\r\n", "\r",
    "null", "true", "[[[[[[[[[[[[[", "needs: [a]", "after: w", "hands-on: 5 min", "actions:", "\u0085",
    "tighten: cover-bolts", "when: {q: a}", "waits:", "½", "<!--", "  ",
]  # fmt: skip
"""What packs are made of, and what breaks them."""


def lines_of(content: bytes) -> list[str]:
    """Return the lines of a file as the compiler counts them."""
    text = content.decode("utf-8-sig", errors="replace")
    return text.replace("\r\n", "\n").replace("\r", "\n").split("\n")


def check(content: bytes) -> Result:
    """Compile a file and hold the answer to what every answer promises."""
    files = {"cover.svg": DRAWING, "cover.png": PHOTO}
    result = compile_bytes(content, "pack.md", files)
    lines = lines_of(content)
    for finding in result.findings:
        assert finding.code in explanations()
        assert all([finding.what, finding.why, finding.write])
        assert finding.text().startswith(f"pack.md:{finding.place.line}:{finding.place.column}: ")
        assert INVISIBLE.search(finding.text().replace("\n", " ")) is None
        stands(finding.place, finding.shown, lines)
        if finding.also:
            stands(finding.also, finding.also_shown, lines)
    errors = any(finding.severity == "error" for finding in result.findings)
    assert (result.pack is None) == errors
    again = compile_bytes(content, "pack.md", files)
    assert again.findings == result.findings
    if result.pack and again.pack:
        assert again.pack.canonical == result.pack.canonical
        assert json.loads(result.pack.canonical)["format"] == 1
    return result


def stands(place: Place, shown: str, lines: list[str]) -> None:
    """Assert that a place lies in the file, and that the line shown is the one that stands there."""
    assert place.file == "pack.md"
    assert 1 <= place.line <= len(lines)
    line = lines[place.line - 1]
    assert shown in (line, INVISIBLE.sub("\ufffd", line), "")
    assert 1 <= place.column <= len(line) + 1
    assert place.length >= 1


@given(st.binary(max_size=400))
@example(b"")
@example(b"---")
@example(b"---\n---")
@example(b"\xff\xfe-\x00-\x00-\x00")
@example(b"---\n\xf0\n---\n")
def test_any_bytes_are_answered(content):
    check(content)


@given(st.text(max_size=400))
@example("---\n\n---\n\n\n#\n##\n```step")
@example("---\n{\n---\n")
@example("\u200c")
@example("---\n'\n---\n# a\n## b\n```step\n[")
def test_any_text_is_answered(text):
    check(text.encode("utf-8", errors="ignore"))


@given(st.lists(st.sampled_from(BITS), max_size=40))
def test_any_heap_of_bits_of_packs_is_answered(bits):
    text = "".join(bits)
    check(text.encode())
    check(f"---\n{text}\n---\n# Side cover\n## Do it\n".encode())
    check(PLAIN.replace("hands-on: 8 min\n", text + "\n").encode())
    check(f"{PLAIN}\n{text}\n".encode())


@st.composite
def mutated(draw: st.DrawFn, packs: list[str]) -> str:
    """Draw a pack with a few slips: lines lost, doubled or swapped, bits put in, the end cut off."""
    text = draw(st.sampled_from(packs))
    for _ in range(draw(st.integers(1, 4))):
        lines = text.split("\n")
        at, to = (draw(st.integers(0, len(lines) - 1)) for _ in range(2))
        match draw(st.sampled_from(["lose", "double", "swap", "indent", "bit", "take", "cut"])):
            case "lose":
                del lines[at]
            case "double":
                lines.insert(to, lines[at])
            case "swap":
                lines[at], lines[to] = lines[to], lines[at]
            case "indent":
                lines[at] = draw(st.sampled_from(["", " ", "  ", "    ", "\t", "> "])) + lines[at].lstrip()
            case "bit":
                column = draw(st.integers(0, len(lines[at])))
                bit = draw(st.sampled_from(BITS) | st.characters(codec="utf-8"))
                lines[at] = lines[at][:column] + bit + lines[at][column:]
            case "take":
                column = draw(st.integers(0, len(lines[at])))
                lines[at] = lines[at][:column] + lines[at][column + 1 :]
            case "cut":
                lines = lines[: at + 1]
        text = "\n".join(lines)
    return text


@settings(max_examples=300)
@given(mutated(RIGHT))
def test_any_slip_in_a_right_pack_is_answered_and_not_by_a_flood(text):
    """A few slips are a few findings, not one for every line after them: else nobody reads them."""
    assert len(check(text.encode()).findings) <= 40


@settings(max_examples=15)
@given(mutated(SHIPPED))
def test_any_slip_in_a_pack_that_ships_is_answered(text):
    check(text.encode())


# --- The reader of YAML

WORDS = st.text(alphabet="ab0 -:#'\"{}[],&*!|>%@`?\n\t", max_size=12)
NESTED = st.recursive(
    WORDS,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(WORDS, inner, max_size=3),
    max_leaves=25,
)


def depth(value: object) -> int:
    """Return how many levels of lists and mappings stand inside each other."""
    inner = value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()
    return (1 + max(map(depth, inner), default=0)) if isinstance(value, (list, dict)) else 0


def reading(text: str) -> Tree | Finding:
    """Return the tree of a text, or the finding that refuses it."""
    try:
        return read_yaml(text, "pack.md", 1)[0]
    except Refused as refused:
        return refused.finding


@given(st.dictionaries(WORDS, NESTED, max_size=4))
def test_quoted_data_is_read_as_it_was_written(data):
    read = reading(json.dumps(data, ensure_ascii=False))
    if isinstance(read, Finding):
        assert depth(data) > DEEPEST
        assert read.code == "yaml-too-deep"
    else:
        assert read.root == data


@given(st.lists(st.sampled_from(BITS) | WORDS, max_size=30))
def test_the_reader_of_yaml_gives_a_tree_or_one_finding(bits):
    text = "".join(bits)
    read = reading(text)
    if isinstance(read, Finding):
        assert read.code in explanations()
        assert 1 <= read.place.line <= text.count("\n") + 1
    else:
        assert isinstance(read.root, Mapping)
        assert depth(read.root) <= DEEPEST


@given(st.integers(0, 3000), st.sampled_from(["[", "{a: ", "- ", "? "]))
def test_depth_is_refused_before_anything_is_built(levels, opening):
    read = reading("a:\n " + opening * levels + "b")
    if isinstance(read, Finding):
        assert read.code in ("yaml-too-deep", "yaml-wrong")
    else:
        assert depth(read.root) <= DEEPEST


@given(st.integers(2, 60), st.integers(1, 9))
def test_an_alias_never_multiplies(names, copies):
    lines = [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * copies)}]" for n in range(1, names)]
    read = reading("\n".join(["a0: &a0 x", *lines]))
    assert isinstance(read, Finding)
    assert read.code == "yaml-alias"


# --- Pictures


def taking(name: str, content: bytes) -> Picture | str:
    """Return a picture, or why it cannot be taken."""
    try:
        return read_picture(name, content)
    except Unfit as unfit:
        return str(unfit)


@given(st.binary(max_size=300), st.sampled_from(["a.svg", "a.png", "a.jpg", "a.webp", "a", "a.bmp", ".svg"]))
def test_any_bytes_are_a_picture_or_unfit(content, name):
    assert taking(name, content)


@given(st.integers(0, len(PHOTO) - 1), st.integers(0, 255))
def test_a_photo_with_a_wrong_byte_is_a_picture_or_unfit(at, byte):
    assert taking("cover.png", PHOTO[:at] + bytes([byte]) + PHOTO[at + 1 :])


MARKS = [
    "<svg>", "</svg>", "<g>", "</g>", "<script>", "<!DOCTYPE svg>", "<![CDATA[", "]]>", "<!--", "-->",
    "&amp;", "&a;", 'width="', 'viewBox="', '"', "0 0 1 1", "9" * 400, "<style>", "url(#a)", "url( '#a' )",
    "url(//x)", "@import", '<path d="M0 0"/>', 'href="#a"', 'href="x"', 'onload="x"', "\\75rl(x)", "<?x y?>",
]  # fmt: skip


@given(st.lists(st.sampled_from(MARKS), max_size=20))
def test_any_heap_of_marks_is_a_drawing_that_cannot_act_or_unfit(marks):
    heap = "".join(marks)
    drawing = DRAWING.decode()
    for text in (
        heap,
        drawing.replace("<rect", f"{heap}<rect"),
        drawing.replace("viewBox", f"{heap} viewBox"),
    ):
        taken = taking("cover.svg", text.encode())
        if isinstance(taken, Picture):
            elements = list(ElementTree.fromstring(text).iter())
            assert not [one for one in elements if one.tag.endswith("script") or "onload" in one.attrib]
            assert not [one for one in elements if one.tag.endswith("style") and "//x" in (one.text or "")]
