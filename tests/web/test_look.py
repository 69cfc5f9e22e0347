"""The look is in names, and each light can be read: worked out from the files themselves."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

WEB = Path(__file__).parents[2] / "web"
TOKENS = WEB / "static/css/tokens.css"
SHEETS = [
    file
    for folder in ("static/css", "bank/shell")
    for file in sorted((WEB / folder).glob("*.css"))
    if file != TOKENS
]
RULE = re.compile(r"([\w-]+)\s*:\s*([^;{}]+)(?=[;}])")
COLOUR = re.compile(
    r"#[0-9a-f]{3,8}\b|\b(rgba?|hsla?|oklch|oklab|lab|lch|color|color-mix)\(|"
    r"(?<![\w-])(white|black|gr[ae]y|red|green|blue|yellow|orange|brown|silver)(?![\w-])",
    re.IGNORECASE,
)
#: What has a name of its own: type, space, corners and lines. How wide a column may be is said
#: where the column is; parts of the letter's own size (em) and shares are no sizes.
NAMED = re.compile(
    r"font(-size)?|(margin|padding|border|outline)(-[\w-]+)?|(row-|column-)?gap|stroke-width"
)
SIZE = re.compile(r"(?<![\w.-])-?\d*\.?\d+(px|rem|pt|mm|cm|in)\b")

LIGHTS = {
    "day": r":root \{",
    "night": r':root\[data-light="night"\] \{',
    "sun": r':root\[data-light="sun"\] \{',
}


def plain(css: str) -> str:
    return re.sub(r"/\*.*?\*/|@page\s*\{[^}]*\}", "", css, flags=re.DOTALL)


def block(opening: str) -> dict[str, str]:
    found = re.search(opening + r"(.*?)\}", plain(TOKENS.read_text()), flags=re.DOTALL)
    assert found
    return {name: value.strip() for name, value in RULE.findall(found[1])}


def literals(css: str) -> list[str]:
    return [
        f"{name}: {value}"
        for name, value in RULE.findall(plain(css))
        if COLOUR.search(value)
        or (NAMED.fullmatch(name) and SIZE.search(value))
        or (name == "stroke-width" and value[0].isdigit())
    ]


@pytest.mark.parametrize(
    "wrong",
    ["color: #fff", "fill: grey", "margin: 0 4px", "border: 1px solid var(--line)", "font: 2rem a"],
)
def test_a_size_or_colour_of_its_own_would_be_found(wrong: str) -> None:
    assert literals(f"a {{ {wrong}; width: 3rem; gap: 0.5em }}") == [wrong]


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda file: str(file.relative_to(WEB)))
def test_only_the_tokens_have_colours_and_sizes(sheet: Path) -> None:
    assert literals(sheet.read_text()) == []


def test_every_name_that_is_used_is_a_token() -> None:
    used = {name for s in SHEETS for name in re.findall(r"var\((--[\w-]+)", s.read_text())}
    assert used - set(block(LIGHTS["day"])) == set()


@pytest.mark.parametrize(
    ("light", "asked"), [("night", "prefers-color-scheme: dark"), ("sun", "prefers-contrast: more")]
)
def test_what_the_device_asks_for_is_what_one_may_choose(light: str, asked: str) -> None:
    by_device = block(rf"@media \({asked}\) \{{\s*:root:not\(\[data-light\]\) \{{")
    assert by_device == block(LIGHTS[light])


def linear(colour: str) -> tuple[float, float, float]:
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    r, g, b = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return r, g, b


def luminance(colour: str) -> float:
    """WCAG 2.2, "relative luminance" (https://www.w3.org/TR/WCAG22/#dfn-relative-luminance)."""
    r, g, b = linear(colour)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def ratio(one: str, other: str) -> float:
    """WCAG 2.2, "contrast ratio"."""
    pale, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (pale + 0.05) / (dark + 0.05)


GROUNDS = ("paper", "sheet", "sunk")
PALES = ("good-pale", "warn-pale", "bad-pale", "calm-pale", "water-pale")
TEXTS = [
    *((text, ground) for text in ("ink", "ink-soft", "link", "bad") for ground in GROUNDS),
    *(("ink", pale) for pale in PALES),
    *((tone, f"{tone}-pale") for tone in ("good", "warn", "bad", "calm")),
    ("good", "sheet"),
    ("sheet", "deep"),
    ("link", "water-pale"),
    *(("on-water", water) for water in ("water", "water-scale")),
    *(("on-float", float_) for float_ in ("float", "float-deep")),
]
#: Edges of what is pressed or typed into, rings, bars and marks (1.4.11, non-text contrast).
PARTS = [
    *(
        (part, ground)
        for part in ("line-strong", "float", "water-mid", "deep")
        for ground in GROUNDS
    ),
    *(("focus", ground) for ground in GROUNDS),
    ("on-water", "water"),
    *((f"hue-{letter}", "sheet") for letter in "abcdefgh"),
]


@pytest.mark.parametrize(("light", "least"), [("day", 4.5), ("night", 4.5), ("sun", 7)])
def test_text_and_parts_stand_off_their_ground(light: str, least: float) -> None:
    """WCAG 2.2: 1.4.3 asks 4.5 of text, 1.4.6 seven, 1.4.11 three of parts."""
    colour = block(LIGHTS["day"]) | block(LIGHTS[light])
    asked = [(pair, least) for pair in TEXTS] + [(pair, 3.0) for pair in PARTS]
    found = {pair: ratio(*(colour[f"--{name}"] for name in pair)) for pair, _ in asked}
    low = {pair: round(found[pair], 2) for pair, wanted in asked if found[pair] < wanted}
    assert low == {}


def test_the_night_has_little_blue_and_nothing_that_glares() -> None:
    """What keeps eyes used to the dark is light without its short waves, and little of it: the
    cells that tell the eye of day answer most to about 480 nm (CIE S 026:2018, from memory). How
    little is enough is ours: of any colour at most a third as much blue as red, none brighter than
    six tenths of white."""
    colours = {
        name: value for name, value in block(LIGHTS["night"]).items() if value.startswith("#")
    }
    blue = {name for name, value in colours.items() if linear(value)[2] > linear(value)[0] / 3}
    glaring = {name for name, value in colours.items() if luminance(value) > 0.6}
    assert len(colours) > 20
    assert (blue, glaring) == (set(), set())


@pytest.mark.parametrize("page", ["templates/base.html", "bank/shell/index.html"])
def test_the_browsers_own_bar_has_the_heads_colour_in_the_light_the_device_asks_for(
    page: str,
) -> None:
    found = re.findall(
        r'<meta name="theme-color" content="(#\w+)"(?: media="\(([^)]+)\)")?>',
        (WEB / page).read_text(),
    )
    water = {light: block(opening)["--water"] for light, opening in LIGHTS.items()}
    # The first that fits holds: contrast comes before darkness, as in the tokens.
    assert found == [
        (water["sun"], "prefers-contrast: more"),
        (water["night"], "prefers-color-scheme: dark"),
        (water["day"], ""),
    ]
