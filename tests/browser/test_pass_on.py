"""Facts passed on from phone to phone by their screens and cameras, without any network."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
import segno
from playwright.sync_api import Browser, Page, expect

from tests.browser.bank_phone import go, open_match, rest_here, weigh
from tests.browser.conftest import ARGS, CHROMIUM, FaultsSeen, sign_in, window_of

SIDE = 640  # pixels of the picture that the other phone's camera sees
PER_SECOND = 8
HELD = 2  # pictures of each code, so that each stands for a quarter of a second


def pictures_write(path: Path, codes: list[list[list[bool]]]) -> None:
    """A film of these codes as a camera would see them: dark squares on white, in YUV4MPEG2."""
    grey = bytes([128]) * (SIDE // 2) ** 2 * 2
    with path.open("wb") as film:
        film.write(f"YUV4MPEG2 W{SIDE} H{SIDE} F{PER_SECOND}:1 Ip A1:1 C420\n".encode())
        for code in codes:
            picture = b"".join(lines_of(code)) + grey
            for _ in range(HELD):
                film.write(b"FRAME\n" + picture)


def lines_of(code: list[list[bool]]) -> list[bytes]:
    """The brightness of each line of the picture, the code in its middle."""
    scale = SIDE // len(code)
    before = (SIDE - scale * len(code)) // 2
    after = SIDE - scale * len(code) - before
    white = bytes([235])
    lines = [white * SIDE] * before
    for row in code:
        dots = b"".join(bytes([16 if dark else 235]) * scale for dark in row)
        lines += [white * before + dots + white * after] * scale
    return lines + [white * SIDE] * after


def codes_shown(page: Page) -> list[list[list[bool]]]:
    """Every code of the chain on show, module by module as drawn, its quiet zone too."""
    page.get_by_role("button", name="Pause").click()
    shown = page.locator("qr-show figcaption").inner_text()
    count = int(shown.split(" of ")[1])
    codes = []
    for _ in range(count):
        codes.append(
            page.evaluate(
                """() => {
                  const canvas = document.querySelector("qr-show canvas");
                  const side = canvas.width;
                  const { data } = canvas.getContext("2d").getImageData(0, 0, side, side);
                  return Array.from({ length: side }, (_, y) =>
                    Array.from({ length: side }, (_, x) => data[(y * side + x) * 4] < 128));
                }"""
            )
        )
        page.get_by_role("button", name="The next code").click()
    return codes


def ready(page: Page) -> None:
    """The match, all of the app, and the phone known to the club."""
    open_match(page)
    rest_here(page)
    page.evaluate("location.hash = '#/phone'")
    expect(page.get_by_text("This phone can hand")).to_be_visible()
    page.go_back()
    expect(page.get_by_role("heading", name="June Open")).to_be_visible()


@pytest.fixture
def phone_seeing(
    browser: Browser, bank_built: None, lasting_world: Any, live_server: Any
) -> Iterator[Callable[..., Page]]:
    """A phone of its own, signed in, whose camera sees a film; the film is made before it opens."""
    running: list[Browser] = []

    def opened(username: str, film: Path, *, allowed: bool = True) -> Page:
        phone = browser.browser_type.launch(
            executable_path=str(CHROMIUM),
            args=[
                *ARGS,
                "--use-fake-device-for-media-stream",
                f"--use-file-for-fake-video-capture={film}",
            ],
        )
        running.append(phone)
        context = phone.new_context(
            viewport=window_of(360),
            base_url=live_server.url,
            locale="en-GB",
            permissions=["camera"] if allowed else [],
        )
        page = context.new_page()
        sign_in(page, username)
        ready(page)
        return page

    yield opened
    for phone in running:
        phone.close()


def show_all(page: Page) -> None:
    """Show all that is known of the match, from the match's screen."""
    go(page, "Pass on by camera")
    page.get_by_role("button", name="Show all that is known").click()
    expect(page.get_by_text("Hold this before")).to_be_visible()


def weigh_without_signal(page: Page, pegs: list[tuple[str, str]]) -> None:
    """From the match's screen and back to it."""
    page.context.set_offline(True)
    go(page, "Weigh in")
    for peg, digits in pegs:
        weigh(page, peg, digits)
    go(page, "Back")


def read_by_camera(page: Page) -> None:
    """From the match's screen until the camera is open."""
    go(page, "Pass on by camera")
    page.get_by_role("button", name="Read from a mate").click()
    page.get_by_role("button", name="Open the camera").click()


def peg(page: Page, number: str) -> Any:
    return page.locator(f".pegs a[href$='/weigh/{number}']")


def test_one_weigher_takes_over_the_section_of_another_with_no_network_between(
    signed_in: Callable[..., Page],
    phone_seeing: Callable[..., Page],
    faults_seen: FaultsSeen,
    tmp_path: Path,
) -> None:
    first = signed_in("tamsin")
    ready(first)
    weigh_without_signal(first, [("1", "4250"), ("2", "610"), ("4", "900")])
    show_all(first)
    assert faults_seen(first, "pass-show", pressed="button") == []
    film = tmp_path / "seen.y4m"
    pictures_write(film, codes_shown(first))
    second = phone_seeing("idris", film)
    # Before they meet: one peg the same, one otherwise, each on a phone without signal.
    weigh_without_signal(second, [("2", "610"), ("4", "880")])
    read_by_camera(second)
    expect(second.get_by_text("3 facts are new on this phone")).to_be_visible(timeout=30_000)
    expect(second.get_by_text("From Tamsin Rook")).to_be_visible()
    assert faults_seen(second, "pass-taken", pressed="button, .button") == []
    go(second, "To the pegs")
    expect(peg(second, "1")).to_contain_text("4.250 kg")
    expect(peg(second, "1")).to_contain_text("Tamsin Rook")
    expect(peg(second, "2")).to_contain_text("0.610 kg")
    expect(peg(second, "4")).to_contain_text(re.compile("to be settled|to settle"))
    expect(second.get_by_text("3 of 4 drawn pegs weighed")).to_be_visible()
    weigh(second, "5", "1200")
    # The first phone never finds signal again: the second brings its facts, as hers.
    second.context.set_offline(False)
    expect(second.locator("[data-signal]")).to_have_attribute("data-signal", "ok")
    expect(second.locator("[data-count=kept] b")).to_have_text("0")
    expect(second.locator("[data-count=sent] b")).to_have_text("3")
    assert weighed_on_server() == {
        "1": [(4250, "tamsin")],
        "2": [(610, "idris"), (610, "tamsin")],
        "4": [(880, "idris"), (900, "tamsin")],
        "5": [(1200, "idris")],
    }
    assert disputed_on_server() == ["4"]
    first.context.set_offline(False)
    expect(first.locator("[data-count=kept] b")).to_have_text("0")
    assert sum(map(len, weighed_on_server().values())) == 6


def weighed_on_server() -> dict[str, list[tuple[int, str]]]:
    from matches.models import WeighIn

    found: dict[str, list[tuple[int, str]]] = {}
    for row in WeighIn.objects.select_related("section_peg__peg", "fact__author"):
        told = (row.weight, row.fact.author.username)
        found.setdefault(row.section_peg.peg.number, []).append(told)
    return {number: sorted(told, key=lambda it: it[1]) for number, told in sorted(found.items())}


def disputed_on_server() -> list[str]:
    from matches.models import Disagreement

    return sorted(Disagreement.objects.values_list("peg", flat=True))


def test_a_code_that_is_something_else_is_refused_in_words(
    phone_seeing: Callable[..., Page], faults_seen: FaultsSeen, tmp_path: Path
) -> None:
    film = tmp_path / "seen.y4m"
    other = segno.make("https://water.example/join/7", error="m", micro=False)
    pictures_write(film, [[[bool(dark) for dark in row] for row in other.matrix_iter(border=4)]])
    page = phone_seeing("tamsin", film)
    page.context.set_offline(True)
    read_by_camera(page)
    expect(page.get_by_text("That code is not from this app's “Pass on”.")).to_be_visible()
    assert faults_seen(page, "pass-read", pressed="button, .button") == []


@pytest.mark.parametrize(
    ("there", "said"),
    [(True, "This app may not use the camera."), (False, "No camera answers on this phone.")],
)
def test_without_a_camera_a_file_does_the_same(
    signed_in: Callable[..., Page],
    phone_seeing: Callable[..., Page],
    tmp_path: Path,
    there: bool,
    said: str,
) -> None:
    first = signed_in("tamsin")
    ready(first)
    if there:
        film = tmp_path / "seen.y4m"
        pictures_write(film, [[[False] * 29] * 29])
        second = phone_seeing("idris", film, allowed=False)
    else:
        second = signed_in("idris")
        ready(second)
    weigh_without_signal(first, [("1", "4250")])
    show_all(first)
    with first.expect_download() as saved:
        first.get_by_role("button", name="Save it as a file").click()
    file = tmp_path / saved.value.suggested_filename
    saved.value.save_as(file)
    second.context.set_offline(True)
    read_by_camera(second)
    expect(second.get_by_text(said)).to_be_visible()
    second.locator("input[type=file]").set_input_files(file)
    expect(second.get_by_text("1 fact is new on this phone")).to_be_visible()
    go(second, "To the pegs")
    expect(peg(second, "1")).to_contain_text("4.250 kg")


def test_a_file_that_is_something_else_changes_nothing_and_says_so(
    signed_in: Callable[..., Page], tmp_path: Path
) -> None:
    page = signed_in("tamsin")
    ready(page)
    other = tmp_path / "bait.txt"
    other.write_text("two bags of leam")
    go(page, "Pass on by camera")
    page.get_by_role("button", name="Read from a mate").click()
    page.locator("input[type=file]").set_input_files(other)
    expect(page.get_by_text("Nothing was taken in:")).to_be_visible()


def test_the_phones_own_reader_is_used_where_it_has_one(
    phone_seeing: Callable[..., Page], tmp_path: Path
) -> None:
    film = tmp_path / "seen.y4m"
    pictures_write(film, [[[False] * 29] * 29])
    page = phone_seeing("tamsin", film)
    page.evaluate(
        """() => {
          globalThis.BarcodeDetector = class {
            static async getSupportedFormats() { return ["qr_code"]; }
            async detect() { return [{ rawValue: "DRAWBAG2/0" }]; }
          };
        }"""
    )
    read_by_camera(page)
    expect(page.get_by_text("The other phone has a newer version")).to_be_visible()


def test_what_goes_round_can_be_paused_and_stepped_and_waits_for_its_reader(
    signed_in: Callable[..., Page], faults_seen: FaultsSeen
) -> None:
    page = signed_in("tamsin")
    ready(page)
    go(page, "Pass on by camera")
    expect(page.get_by_text("Nothing is unsent here for this match.")).to_be_visible()
    assert faults_seen(page, "pass-choose", pressed="button, .button") == []
    go(page, "Back")
    weigh_without_signal(page, [("1", "4250"), ("2", "610"), ("4", "90"), ("5", "1200")])
    show_all(page)
    caption = page.locator("qr-show figcaption")
    first = caption.inner_text()
    expect(caption).not_to_have_text(first)
    page.get_by_role("button", name="Pause").click()
    here, count = map(int, caption.inner_text().split(" of "))
    page.get_by_role("button", name="The next code").click()
    expect(caption).to_have_text(f"{here % count + 1} of {count}")
    page.get_by_role("button", name="The code before").click()
    expect(caption).to_have_text(f"{here} of {count}")
    page.get_by_role("button", name="Done").click()
    expect(page.get_by_role("button", name="Show what is unsent here")).to_be_enabled()
