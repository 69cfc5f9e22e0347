"""The bank app on a slowed Chromium: start, first load, tap to durable, full screens, sending.

Every figure stands beside a reference measured in the same run, on the same page where there is
one: other work on the machine makes both slower. Each is the least of so many rounds.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, CDPSession, Page, sync_playwright

import tests.bench.site  # noqa: F401  (sets Django up as it is read)
from tests.bench.parts import part, run
from tests.bench.rows import QUICK, Row, tell

CHROMIUM = os.environ.get("CHROMIUM", "/usr/bin/chromium")
SCRIPTS = (Path(__file__).parent / "bench_bank.js").read_text()
SLOWER = 4  # a phone of the lower middle beside this machine; common practice, no source
TAPS, ROUNDS = 20, 2 if QUICK else 5
# "Slow 3G" as browsers' tools once named it is slower, "fast 3G" this: 1.6 Mbit/s down,
# 750 kbit/s up, 150 ms; from memory.
DOWN, UP, LATENCY_MS = 1_600_000 // 8, 750_000 // 8, 150
SIZES = (100, 10_000)
MATCH = "screen-match nav"
SENT = 1_000


class Phone:
    """One profile of the browser with the match on it, slowed down."""

    def __init__(self, browser: Browser, url: str, match: int) -> None:
        self.context = browser.new_context(
            base_url=url, viewport={"width": 360, "height": 740}, locale="en-GB"
        )
        self.context.set_default_timeout(60_000)
        self.context.add_init_script(SCRIPTS)
        self.match = match
        self.page: Page = self.context.new_page()
        self.tools: CDPSession = self.context.new_cdp_session(self.page)

    def sign_in(self) -> None:
        from tests.conftest import PASSWORD

        self.page.goto("/sign-in/")
        self.page.locator("input[name=username]").fill("tamsin")
        self.page.locator("input[name=password]").fill(PASSWORD)
        self.page.locator("input[name=password]").press("Enter")
        self.page.wait_for_url("**/desk/**")

    def take_along(self) -> None:
        """The app, its worker and the match are on the phone from here on."""
        self.page.goto("/bank/")
        self.page.evaluate("navigator.serviceWorker.ready")
        self.page.goto(f"/bank/#/match/{self.match}")
        self.page.locator(MATCH).wait_for()

    def slow(self, rate: int = SLOWER) -> None:
        self.tools.send("Emulation.setCPUThrottlingRate", {"rate": rate})

    def offline(self, is_so: bool = True) -> None:
        self.context.set_offline(is_so)

    def run(self, function: str, *given: Any) -> Any:
        """A function of bench_bank.js, in the page."""
        return self.page.evaluate(f"(given) => bench.{function}(...given)", list(given))

    def fill(self, facts: int) -> None:
        """So many facts: half logged here and sent, most of them in other matches, half pulled."""
        self.run("fill", str(self.match), facts)
        self.page.reload()
        self.page.locator(MATCH).wait_for()


def main() -> None:
    """Each measure by itself: where the browser does not come to one in time, the next is tried."""
    with on_a_phone() as made:
        for measure in (first_load, start_offline, tap, screens, sync):
            with part(measure.__name__.replace("_", " ")):
                measure(made)


@contextmanager
def on_a_phone() -> Iterator[Callable[[], Phone]]:
    """Gives phones, one after another, with the invented club and its match served to them."""
    from django.core.management import call_command

    call_command("bank_build", verbosity=0)
    with served() as url, sync_playwright() as driver:
        from tests.conftest import make_world

        match = make_world().match.pk
        browser = driver.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        try:
            yield lambda: Phone(browser, url, match)
        finally:
            browser.close()


@contextmanager
def served() -> Iterator[str]:
    """Files come through the middleware, packed, as they do in use."""
    from django.core.handlers.wsgi import WSGIHandler
    from django.test.testcases import LiveServerThread

    class AsInUse(WSGIHandler):
        def __init__(self, _before: WSGIHandler) -> None:
            super().__init__()

    thread = LiveServerThread("localhost", AsInUse)
    thread.daemon = True
    thread.start()
    thread.is_ready.wait()
    if thread.error:
        raise thread.error
    try:
        yield f"http://localhost:{thread.port}"
    finally:
        thread.terminate()


def first_load(made: Callable[[], Phone]) -> None:
    """Bytes on the wire until the app shows, against the same files unpacked."""
    phone = made()
    phone.sign_in()
    phone.tools.send("Network.enable")
    parts: list[dict[str, int]] = []
    phone.tools.on("Network.dataReceived", lambda part: parts.append(part))
    phone.page.goto("/bank/")
    phone.page.locator("screen-matches h1").wait_for()
    phone.context.close()
    wire = sum(part["encodedDataLength"] for part in parts) / 1000
    whole = sum(part["dataLength"] for part in parts) / 1000
    tell(
        Row(
            "first load on the wire",
            "the bank app",
            ours=wire,
            unit="kB",
            reference="the same files unpacked",
            theirs=whole,
            ratio=wire / whole,
            aims=("bank-first-load",),
        )
    )


def start_offline(made: Callable[[], Phone]) -> None:
    """From asking for the page to the match on it, against one file out of the worker's keeping."""
    phone = made()
    phone.sign_in()
    phone.take_along()
    phone.offline()
    for rate, aims in ((1, ("bank-start",)), (SLOWER, ())):
        ours, theirs = _starts(phone, rate)
        tell(
            Row(
                "app started without signal",
                "at full speed" if rate == 1 else f"{rate} times slower",
                ours=ours,
                reference="one file from the worker",
                theirs=theirs,
                ratio=ours / theirs,
                aims=aims,
            )
        )
    phone.context.close()


def _starts(phone: Phone, rate: int) -> tuple[float, float]:
    """The least of the app's starts, and of one file's, at that slowness, in milliseconds."""
    phone.slow(rate)
    ours, theirs = [], []
    for _ in range(ROUNDS):
        phone.page.goto("/static/bank/update.js")
        theirs.append(float(phone.run("opened")))
        phone.page.goto(f"/bank/#/match/{phone.match}")
        phone.page.locator(MATCH).wait_for()
        ours.append(float(phone.run("shown")))
    return min(ours), min(theirs)


def tap(made: Callable[[], Phone]) -> None:
    """From the tap to the end of the write, against a bare strict put of the same bytes."""
    for facts in SIZES:
        phone = made()
        phone.sign_in()
        phone.take_along()
        phone.fill(facts)
        phone.offline()
        phone.page.goto(f"/bank/#/match/{phone.match}/fish")
        phone.page.locator(".fish-key").first.wait_for()
        phone.slow()
        phone.run("taps", 5)
        runs = [phone.run("taps", TAPS) for _ in range(ROUNDS)]
        phone.context.close()
        best = min(runs, key=lambda run: float(run["durable"]["p95"]))
        durable, bare, tick = best["durable"], best["bare"], best["tick"]
        tell(
            Row(
                "tap to durable, 95 of 100",
                f"{facts:,} facts, {SLOWER} times slower",
                ours=durable["p95"],
                reference="a bare strict put",
                theirs=bare["p95"],
                ratio=durable["p95"] / bare["p95"],
                aims=("bank-tap",),
                said=f"median {durable['p50']:.0f}; tick seen after {tick['p95']:.0f} (95 of 100)",
            )
        )


def screens(made: Callable[[], Phone]) -> None:
    """From the change of address to the screen with all it reads, with many facts and with few."""
    names = ("", "/weigh", "/feed", "/fish", "phone")
    took: dict[int, dict[str, float]] = {}
    for facts in SIZES:
        phone = made()
        phone.sign_in()
        phone.take_along()
        phone.fill(facts)
        phone.offline()
        phone.slow()
        took[facts] = {}
        for name in names:
            to = "#/phone" if name == "phone" else f"#/match/{phone.match}{name}"
            times = [float(phone.run("screen", to)) for _ in range(ROUNDS)]
            took[facts][name] = min(times)
        phone.context.close()
    few, many = SIZES
    for name in names:
        tell(
            Row(
                f"screen {name or '/match'}",
                f"{many:,} facts, {SLOWER} times slower",
                ours=took[many][name],
                reference=f"the same with {few}",
                theirs=took[few][name],
                ratio=took[many][name] / took[few][name],
                aims=("bank-screens",),
            )
        )


def sync(made: Callable[[], Phone]) -> None:
    """A full outbox emptied over a slow line, against its bytes and its round trips on it."""
    phone = made()
    phone.sign_in()
    phone.take_along()
    phone.offline()
    phone.run("outbox", str(phone.match), SENT)
    phone.page.reload()
    phone.page.locator(f"[data-count=kept] b:has-text('{SENT}')").wait_for()
    phone.tools.send("Network.enable")
    sent: list[int] = []
    phone.tools.on(
        "Network.requestWillBeSentExtraInfo",
        lambda told: sent.append(int(told["headers"].get("Content-Length", 0))),
    )
    line = {"latency": LATENCY_MS, "downloadThroughput": DOWN, "uploadThroughput": UP}
    phone.context.set_offline(False)
    phone.tools.send("Network.emulateNetworkConditions", {"offline": False, **line})
    took = float(phone.run("emptied"))
    least = sum(sent) / UP * 1000 + len(sent) * LATENCY_MS
    phone.context.close()
    tell(
        Row(
            "an outbox sent",
            f"{SENT:,} facts at 750 kbit/s, {LATENCY_MS} ms",
            ours=took,
            reference=f"{sum(sent) / 1000:.0f} kB and {len(sent)} round trips on that line",
            theirs=least,
            ratio=took / least,
            aims=("bank-outbox",),
        )
    )


if __name__ == "__main__":
    run(main)
