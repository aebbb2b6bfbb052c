"""The look is readable in the sun and in the dark: contrast is worked out, not judged by eye."""

import re

import pytest

from webapp import places

CSS = places.STATIC / "css"
TOKENS = (CSS / "tokens.css").read_text("utf-8")


def luminance(colour):
    """Return the relative luminance of #rrggbb (WCAG 2.2, definition of relative luminance)."""
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one, other):
    """Return the contrast ratio of two colours (WCAG 2.2, definition of contrast ratio)."""
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


# Ratios as the package wcag-contrast-ratio 0.9 gives them for WCAG 2.x.
@pytest.mark.parametrize(
    "one, other, ratio",
    [
        ("#000000", "#ffffff", 21),
        ("#767676", "#ffffff", 4.542),
        ("#c8102e", "#ffffff", 5.883),
        ("#ff6900", "#000000", 7.273),
        ("#f6d04d", "#000000", 14.048),
        ("#005eb8", "#ffffff", 6.377),
    ],
)
def test_contrast_is_worked_out_as_wcag_says(one, other, ratio):
    assert contrast(one, other) == pytest.approx(ratio, abs=0.005)


def declared(text):
    return dict(re.findall(r"(--[\w-]+):\s*([^;]+);", text))


def blocks():
    """Return the declarations for daylight, for the phone's own dark and for the chosen dark."""
    light, own, chosen = re.split(
        r"@media \(prefers-color-scheme: dark\)|(?<=\})\s*:root\[data-theme=\"dark\"\]", TOKENS
    )
    return declared(light), declared(own), declared(chosen)


def colours(theme):
    light, own, _ = blocks()
    known = light | (own if theme == "dark" else {})

    def resolve(value):
        inner = re.fullmatch(r"var\((--[\w-]+)\)", value)
        return resolve(known[inner[1]]) if inner else value

    return {name: resolve(value) for name, value in known.items()}


def test_the_dark_of_the_phone_and_the_chosen_dark_are_the_same():
    _, own, chosen = blocks()
    assert own == chosen
    assert len(own) > 5


TEXT = [
    ("--ink", "--card"),
    ("--ink", "--card-shade"),
    ("--ink", "--lit"),
    ("--ink-soft", "--card"),
    ("--ink-soft", "--card-shade"),
    ("--ink-soft", "--lit"),
    ("--on-bench", "--bench"),
    ("--on-bench", "--lamp"),
    ("--accent", "--card"),
    ("--accent", "--lit"),
    ("--on-accent", "--accent"),
]


# WCAG 2.2, SC 1.4.6 (AAA): 7:1 for text.
@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("text, ground", TEXT)
def test_text_has_the_contrast_of_aaa(theme, text, ground):
    known = colours(theme)
    assert contrast(known[text], known[ground]) >= 7


# WCAG 2.2, SC 1.4.6 (AAA): 4.5:1 for large text, which is 24 CSS px, or 18.66 bold; signal words are larger.
@pytest.mark.parametrize("word", ["danger", "warning", "caution", "notice"])
def test_a_signal_word_has_the_contrast_of_aaa_for_large_text(word):
    known = colours("light")
    assert contrast(known[f"--on-{word}"], known[f"--{word}"]) >= 4.5


# ANSI Z535.1 colours as an open schema value set lists them for screens (PMS 186 C, 151 C, 285 C);
# lettering by ANSI Z535.4: white on red, black on orange, black on yellow, white on blue.
@pytest.mark.parametrize(
    "word, colour, lettering",
    [("danger", "#c8102e", "#ffffff"), ("warning", "#ff6900", "#000000"), ("notice", "#005eb8", "#ffffff")],
)
def test_signal_colours_are_those_of_the_standard(word, colour, lettering):
    known = colours("light")
    assert (known[f"--{word}"], known[f"--on-{word}"]) == (colour, lettering)


def test_signal_colours_are_used_for_hazards_and_nothing_else():
    used = set()
    for name in ("base.css", "parts.css", "bench.css"):
        for rule in re.findall(r"([^{}]+)\{([^{}]*)\}", (CSS / name).read_text("utf-8")):
            if re.search(r"var\(--(on-)?(danger|warning|caution|notice)\)", rule[1]):
                used.add(" ".join(re.sub(r"/\*.*?\*/", "", rule[0], flags=re.S).split()))
    assert used
    assert [selector for selector in used if not selector.startswith(".hazard-")] == []


@pytest.mark.parametrize("name", ["base.css", "parts.css", "bench.css"])
def test_every_role_that_is_used_is_declared(name):
    sheet = (CSS / name).read_text("utf-8")
    used = set(re.findall(r"var\((--[\w-]+)", sheet))
    assert used
    assert used - set(declared(TOKENS)) - set(declared(sheet)) == set()


def test_every_style_sheet_keeps_to_the_layers():
    """A rule outside them would win over every state and over print."""
    (order,) = re.findall(r"@layer ([\w, ]+);", TOKENS)
    layers = order.split(", ")
    for name in ("tokens.css", "base.css", "parts.css", "bench.css"):
        sheet = re.sub(r"/\*.*?\*/", "", (CSS / name).read_text("utf-8"), flags=re.S).replace(
            f"@layer {order};", ""
        )
        depth, outside = 0, ""
        for character in sheet:
            depth += (character == "{") - (character == "}")
            if depth == 0 and character != "}":
                outside += character
        opened = re.findall(r"@layer (\w+)", outside)
        assert re.sub(r"@layer \w+", "", outside).split() == []
        assert set(opened) <= set(layers)


def test_letters_come_from_the_phone_itself():
    assert not any("@font-face" in path.read_text("utf-8") for path in CSS.glob("*.css"))
