"""A new version of the app, in every engine: it waits, is taken when its person says so, never in
the middle of a weigh-in; and a broken one is got over."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.browser.bank_phone import weights_on_server
from tests.browser.test_bank_updates import ship
from tests.engines.driver import Refused
from tests.engines.phone import Phone
from tests.engines.processes import wait_for
from tests.engines.wire import Wire

PhoneOf = Callable[..., Phone]
# It installs, and then answers nothing: not even the page that would fetch a better one.
ANSWERS_NOTHING = """self.addEventListener("fetch", (event) => {
  if (event.request.mode === "navigate") event.respondWith(Promise.reject(new Error("broken")));
});
"""
# As when the person comes back to the app: it looks for another version, and has it when it waits.
COMES = """const [done] = arguments;
navigator.serviceWorker.getRegistration().then(async (found) => {
  await found.update();
  const see = () => (found.waiting ? done("waits") : setTimeout(see, 20));
  see();
});"""
# As a person would: an engine looks for a mended worker a while after a page failed, and puts that
# off with every page that fails meanwhile.
OPENED_AGAIN_S = 5
CONTROLLED = "return Boolean(navigator.serviceWorker.controller)"


def worker_of(it: Phone) -> Path:
    """What the server hands out to this phone."""
    return it.processes.folder / "serviceworker.js"


def shipped(it: Phone, build: str, *, broken: bool = False) -> None:
    """Another version is at the server, and this phone has fetched it."""
    wait_for(lambda: it.run(CONTROLLED), "a worker in charge")
    ship(worker_of(it), build)
    if broken:
        worker_of(it).write_text(ANSWERS_NOTHING + worker_of(it).read_text())
    assert it.line.ask("ExecuteAsyncScript", {"script": COMES, "args": []}) == "waits"


@pytest.mark.fault("update with a half-filled form")
def test_a_new_version_waits_through_a_weigh_in_and_is_taken_between_two(
    phone: PhoneOf, wire: Wire
) -> None:
    it = phone("tamsin")
    it.open_match()
    it.press("Weigh in")
    it.tap("a[href$='/weigh/1']")
    for digit in "42":
        it.press(digit)
    it.run("window.stillHere = true")
    shipped(it, "111111111111")
    it.reads("0.042 kg", ".figure")
    assert "Use it now" not in it.text()
    for digit in "50":
        it.press(digit)
    wire.cut()
    it.tap("button.keep")
    it.count("kept", 1)
    it.open("/bank/#/")
    it.reads("Use it now")
    assert it.run("return window.stillHere") is True
    it.press("Use it now")
    wait_for(lambda: not it.run("return Boolean(window.stillHere)"), "the page anew")
    it.count("kept", 1)
    wire.mend()
    it.open("/bank/#/phone")
    it.reads("Version 111111111111")
    it.press("Send now")
    it.count("sent", 1)
    assert weights_on_server() == {"1": [4250]}
    assert it.faults() == []


@pytest.mark.fault("bad worker shipped then mended")
def test_a_phone_comes_back_from_a_broken_version_with_all_that_was_kept(
    phone: PhoneOf, wire: Wire
) -> None:
    it = phone("tamsin")
    it.open_match()
    it.press("Weigh in")
    wire.cut()
    it.weigh("1", "4250")
    it.count("kept", 1)
    wire.mend()
    it.open("/bank/#/")
    worker = worker_of(it)
    whole = worker.read_text()
    shipped(it, "000000000bad", broken=True)
    it.press("Use it now")
    if it.engine.name == "firefox":  # it goes past a worker that fails to answer
        wait_for(lambda: opened(it, "/bank/"), "the page from the server")
        worker.write_text(whole)
        shipped(it, "333333333333")
        it.press("Use it now")
    else:
        wait_for(lambda: not opened(it), "the broken version's empty page")
        worker.write_text(whole)
        ship(worker, "333333333333")
    wait_for(lambda: opened(it, "/bank/"), "the mended version", each_s=OPENED_AGAIN_S)
    it.open("/bank/#/phone")
    it.count("sent", 1)
    it.reads("Version 333333333333")
    assert weights_on_server() == {"1": [4250]}


def opened(it: Phone, address: str | None = None) -> bool:
    """Whether the app is there, going to that address first."""
    try:
        if address:
            it.open(address)
        return bool(it.run("return Boolean(document.querySelector('bank-app'))"))
    except Refused:
        return False
