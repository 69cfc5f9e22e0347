"""A phone with the bank app in one engine: what a thumb does, and what stands on the screen."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from django.test import Client

from matches.models import Person
from tests.conftest import PASSWORD
from tests.engines.driver import ELEMENT, Line, Refused
from tests.engines.engines import Engine
from tests.engines.processes import Processes, wait_for

# What the page draws anew while a thumb is on its way.
MOVED = {
    "stale element reference",
    "element not interactable",
    "element click intercepted",
    "no such element",
}
# Not one that something lies over: WebKit's driver would tap that instead, and say nothing.
FIND = """const [css, name] = arguments;
const nameOf = (e) => e.getAttribute("aria-label") ?? e.textContent.replace(/\\s+/g, " ").trim();
const found = [...document.querySelectorAll(css)].find((e) => !e.disabled && e.checkVisibility()
  && (name === null || nameOf(e) === name));
if (!found) return null;
found.scrollIntoView({ block: "center", behavior: "instant" });
const box = found.getBoundingClientRect();
const seen = document.elementFromPoint(box.x + box.width / 2, box.y + box.height / 2);
return found.contains(seen) ? [found, JSON.stringify(box)] : null;"""
TEXT = "return document.querySelector(arguments[0])?.innerText ?? ''"
# A count's text has an icon before the number.
COUNT = "return document.querySelector(`[data-count=${arguments[0]}] b`)?.innerText.trim() ?? ''"
SIGNAL = "return document.querySelector('[data-signal]')?.dataset.signal ?? ''"
ALL_HERE = """const [done] = arguments;
const beep = new URL("/static/bank/beep.js", location.href).href;
const last = () => performance.getEntriesByName(beep);
const look = setInterval(() => {
  if (last().length) done(true);
  if (last().length || navigator.serviceWorker.controller) clearInterval(look);
}, 50);
navigator.serviceWorker.ready.then(({ active }) => {
  const { port1, port2 } = new MessageChannel();
  port1.onmessage = (event) => navigator.serviceWorker.controller && done(event.data);
  active.postMessage("later", [port2]);
});"""


class Phone:
    """One browser on a folder of its own. `url`: where the server is, or seems to be."""

    def __init__(self, engine: Engine, processes: Processes, url: str, *, private: bool) -> None:
        self.engine, self.processes, self.url, self.private = engine, processes, url, private
        self.line: Line
        self.start()

    def start(self) -> None:
        self.line = self.engine.start(self.processes, private=self.private)

    def kill(self) -> None:
        self.processes.kill()

    def open(self, address: str) -> None:
        self.line.ask("Navigate", {"url": self.url + address})

    def reload(self) -> None:
        self.line.ask("Refresh", {})

    def run(self, script: str, *arguments: Any) -> Any:
        return self.line.ask("ExecuteScript", {"script": script, "args": list(arguments)})

    def press(self, name: str) -> None:
        """The first button or link of that name."""
        self._act("a, button, summary", name, "ElementClick")

    def tap(self, css: str) -> None:
        self._act(css, None, "ElementClick")

    def type(self, css: str, text: str) -> None:
        self._act(css, None, "ElementSendKeys", text=text)

    def _act(self, css: str, name: str | None, command: str, **said: Any) -> None:
        """Once it stands still: what comes in above it moves it from under the thumb."""
        place = None

        def done() -> bool:
            nonlocal place
            before, found = place, self.run(FIND, css, name)
            place = found and found[1]
            if not found or place != before:
                return False
            try:
                self.line.ask(command, {"id": found[0][ELEMENT], **said})
            except Refused as refused:
                if refused.code in MOVED:
                    return False
                raise
            return True

        wait_for(done, f"{name or css}, on the page:\n{self.text()}")

    def give_file(self, css: str, path: Path) -> None:
        """As a person chooses one; the field itself need not be in sight."""
        field = self.run("return document.querySelector(arguments[0])", css)
        self.line.ask("ElementSendKeys", {"id": field[ELEMENT], "text": str(path)})

    def text(self, css: str = "body") -> str:
        return str(self.run(TEXT, css))

    def reads(self, text: str, css: str = "body") -> None:
        """Wait until the page says so."""
        try:
            wait_for(lambda: text in self.text(css), text)
        except TimeoutError as late:
            raise AssertionError(f"{text!r} is not in:\n{self.text()}") from late

    def count(self, what: str, number: int) -> None:
        """Wait until the head says that so many are `kept`, `sent` or `refused`."""
        try:
            wait_for(lambda: self.run(COUNT, what) == str(number), what)
        except TimeoutError as late:
            raise AssertionError(f"Not {number} {what}:\n{self.text()}") from late

    def signal(self, name: str) -> None:
        wait_for(lambda: self.run(SIGNAL) == name, f"the signal {name}")

    def tabs(self) -> tuple[Any, Any]:
        """This tab, and a new one beside it."""
        here = self.line.ask("GetWindowHandle", {})
        return here, self.line.ask("NewWindow", {"type": "tab"})["handle"]

    def tab(self, handle: Any) -> None:
        self.line.ask("SwitchToWindow", {"handle": handle})

    def sign_in(self, username: str) -> None:
        """By a session's cookie, in place of any other. A private window takes none from outside
        in one engine."""
        if self.private:
            self.open("/sign-in/")
            self.sign_in_here(username)
            self.reads("Sign out")
            return
        client = Client()
        client.force_login(Person.objects.get(username=username))
        self.open("/healthz")
        self.signed_out()
        session = {"name": "sessionid", "value": client.cookies["sessionid"].value}
        self.line.ask("AddCookie", {"cookie": session})

    def sign_in_here(self, username: str) -> None:
        """On the page, as a person does."""
        self.type("input[name=username]", username)
        self.type("input[name=password]", PASSWORD)
        self.tap("form:has([name=password]) button[type=submit]")

    def signed_out(self) -> None:
        """As when the session has ended."""
        self.line.ask("DeleteAllCookies", {})

    def open_match(self) -> None:
        """The bank, with the match and all of the app on the phone."""
        self.open("/bank/")
        assert self.line.ask("ExecuteAsyncScript", {"script": ALL_HERE, "args": []}) is True
        self.tap("a.card")
        self.reads("June Open", "h1")
        self.signal("ok")

    def faults(self) -> list[str]:
        """What went wrong in the page since it was opened."""
        found: list[str] = self.run("return window.faults")
        return found

    def weigh(self, peg: str, digits: str) -> None:
        """From the list of pegs, through the keypad, back to the list."""
        self.tap(f"a[href$='/weigh/{peg}']")
        for digit in digits:
            self.press(digit)
        self.tap("button.keep")
        self.reads("kept", ".lately")
