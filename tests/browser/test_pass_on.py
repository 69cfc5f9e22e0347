"""Facts passed on from phone to phone by their screens and cameras, without any network."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
import segno
from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests.browser.bank_phone import go, open_match, rest_here, weigh
from tests.browser.conftest import ARGS, CHROMIUM, FaultsSeen, let_in, window_of

SIDE = 640  # pixels of the picture that the other phone's camera sees
PER_SECOND = 8
NOTHING = [[False] * 29] * 29
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


@pytest.fixture(scope="module")
def film(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """What the camera sees: it looks anew each time it is opened."""
    path = tmp_path_factory.mktemp("camera") / "seen.y4m"
    pictures_write(path, [NOTHING])
    return path


@pytest.fixture(scope="module")
def with_camera(browser: Browser, film: Path) -> Iterator[Browser]:
    """A Chromium whose camera sees the film."""
    seeing = browser.browser_type.launch(
        executable_path=str(CHROMIUM),
        args=[
            *ARGS,
            "--use-fake-device-for-media-stream",
            f"--use-file-for-fake-video-capture={film}",
        ],
    )
    yield seeing
    seeing.close()


@pytest.fixture
def phone_seeing(
    with_camera: Browser,
    bank_built: None,
    lasting_world: Any,
    live_server: Any,
    all_answered: Callable[[], None],
) -> Iterator[Callable[[str], Page]]:
    """A phone of its own, signed in, whose camera sees the film."""
    opened: list[BrowserContext] = []

    def open_phone(username: str) -> Page:
        context = with_camera.new_context(
            viewport=window_of(360),
            base_url=live_server.url,
            locale="en-GB",
            permissions=["camera"],
        )
        opened.append(context)
        let_in(context, username, live_server.url)
        page = context.new_page()
        ready(page)
        return page

    yield open_phone
    for context in opened:
        context.close()
    all_answered()


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
    phone_seeing: Callable[[str], Page],
    faults_seen: FaultsSeen,
    film: Path,
) -> None:
    first = signed_in("tamsin", desk=False)
    ready(first)
    weigh_without_signal(first, [("1", "4250"), ("2", "610"), ("4", "900")])
    show_all(first)
    assert faults_seen(first, "pass-show", pressed="button") == []
    pictures_write(film, codes_shown(first))
    second = phone_seeing("idris")
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


def test_what_a_camera_cannot_tell_is_said_in_words_and_the_phones_own_reader_is_used(
    phone_seeing: Callable[[str], Page], faults_seen: FaultsSeen, film: Path, tmp_path: Path
) -> None:
    other = segno.make("https://water.example/join/7", error="m", micro=False)
    pictures_write(film, [[[bool(dark) for dark in row] for row in other.matrix_iter(border=4)]])
    page = phone_seeing("tamsin")
    page.context.set_offline(True)
    read_by_camera(page)
    expect(page.get_by_text("That code is not from this app's “Pass on”.")).to_be_visible()
    assert faults_seen(page, "pass-read", pressed="button, .button") == []

    pictures_write(film, [NOTHING])
    go(page, "Back")
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

    go(page, "Back")
    page.context.clear_permissions()
    read_by_camera(page)
    expect(page.get_by_text("This app may not use the camera.")).to_be_visible()
    not_one = tmp_path / "bait.txt"
    not_one.write_text("two bags of leam")
    page.locator("input[type=file]").set_input_files(not_one)
    expect(page.get_by_text("Nothing was taken in:")).to_be_visible()


def test_without_a_camera_a_file_does_the_same_and_what_is_shown_waits_for_its_reader(
    signed_in: Callable[..., Page], faults_seen: FaultsSeen, tmp_path: Path
) -> None:
    first, second = signed_in("tamsin", desk=False), signed_in("idris", desk=False)
    for page in (first, second):
        ready(page)
    go(first, "Pass on by camera")
    expect(first.get_by_text("Nothing is unsent here for this match.")).to_be_visible()
    assert faults_seen(first, "pass-choose", pressed="button, .button") == []
    go(first, "Back")
    weigh_without_signal(first, [("1", "4250"), ("2", "610"), ("4", "90"), ("5", "1200")])
    show_all(first)
    what_goes_round_can_be_paused_and_stepped(first)
    with first.expect_download() as saved:
        first.get_by_role("button", name="Save it as a file").click()
    file = tmp_path / saved.value.suggested_filename
    saved.value.save_as(file)
    first.get_by_role("button", name="Done").click()
    expect(first.get_by_role("button", name="Show what is unsent here")).to_be_enabled()

    second.context.set_offline(True)
    read_by_camera(second)
    expect(second.get_by_text("No camera answers on this phone.")).to_be_visible()
    second.locator("input[type=file]").set_input_files(file)
    expect(second.get_by_text("4 facts are new on this phone")).to_be_visible()
    go(second, "To the pegs")
    expect(peg(second, "1")).to_contain_text("4.250 kg")


def what_goes_round_can_be_paused_and_stepped(page: Page) -> None:
    caption = page.locator("qr-show figcaption")
    first = caption.inner_text()
    expect(caption).not_to_have_text(first)
    page.get_by_role("button", name="Pause").click()
    here, count = map(int, caption.inner_text().split(" of "))
    page.get_by_role("button", name="The next code").click()
    expect(caption).to_have_text(f"{here % count + 1} of {count}")
    page.get_by_role("button", name="The code before").click()
    expect(caption).to_have_text(f"{here} of {count}")
