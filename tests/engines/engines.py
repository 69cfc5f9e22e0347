"""The three engines, from Debian's packages: how each is started on a folder of its own.

Each start gives a line with a session on it. A browser that dies at its start is started again.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import socket
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tests.engines.driver import FirefoxLine, HttpLine, Line, Refused
from tests.engines.processes import Processes, wait_for

WINDOW = (400, 800)
TRIES = 3
SCRIPT_MS = 100_000
CHROMIUM = os.environ.get("CHROMIUM") or "chromium"
GTK_FROM_PYTHON = "/usr/lib/python3/dist-packages/gi/__init__.py"
WEBKIT_FROM_PYTHON = "/usr/lib/*/girepository-1.0/WebKit2-4.1.typelib"
WEBKIT_WINDOW = Path(__file__).with_name("webkit_window.py")
# Nothing of it may ask the network for anything, or ask a person.
FIREFOX_SETTINGS = {
    "marionette.port": 0,
    "app.normandy.enabled": False,
    "browser.download.folderList": 2,
    "browser.sessionstore.resume_from_crash": False,
    "datareporting.policy.dataSubmissionEnabled": False,
    "network.captive-portal-service.enabled": False,
    "network.connectivity-service.enabled": False,
    "toolkit.startup.max_resumed_crashes": -1,
}


@dataclass(frozen=True)
class Engine:
    """One engine. `needs`: programs, or patterns of files; `packages`: where Debian has them."""

    name: str
    needs: tuple[str, ...]
    packages: str
    begin: Callable[[Processes, bool], Line]

    def missing(self) -> list[str]:
        return [need for need in self.needs if not _installed(need)]

    def start(self, processes: Processes, *, private: bool = False) -> Line:
        for left in reversed(range(TRIES)):
            try:
                line = self.begin(processes, private)
                line.ask("SetTimeouts", {"script": SCRIPT_MS})
                return line
            except (OSError, TimeoutError, Refused) as error:
                said = processes.printed()
                processes.kill()
                if not left:
                    raise RuntimeError(f"{self.name} did not start: {error}\n{said}") from error
        raise AssertionError


def _installed(need: str) -> bool:
    return bool(shutil.which(need) or any(Path("/").glob(need.lstrip("/"))))


def began(process: subprocess.Popen[bytes], look: Callable[[], Any]) -> Any:
    """What `look` gives once that is something, of a process that has not ended meanwhile."""

    def still() -> Any:
        if process.poll() is not None:
            raise ConnectionError(f"It ended at once with {process.returncode}.")
        return look()

    return wait_for(still, f"the start of {process.args!r}")


def firefox_begin(processes: Processes, private: bool) -> Line:
    folder = processes.folder
    port = folder / "MarionetteActivePort"
    port.unlink(missing_ok=True)
    settings = FIREFOX_SETTINGS | {"browser.download.dir": f"{folder}/downloads"}
    settings["browser.privatebrowsing.autostart"] = private
    lines = (f"user_pref({json.dumps(k)}, {json.dumps(v)});\n" for k, v in settings.items())
    (folder / "user.js").write_text("".join(lines))
    width, height = map(str, WINDOW)
    firefox = processes.start(
        ["firefox-esr", "--headless", "--marionette", "--no-remote", "--profile", str(folder)],
        MOZ_HEADLESS_WIDTH=width,
        MOZ_HEADLESS_HEIGHT=height,
    )

    told = began(firefox, lambda: port.exists() and port.read_text().strip())
    line = FirefoxLine(int(told))
    line.ask("NewSession", {"capabilities": {}})
    return line


def webkit_begin(processes: Processes, private: bool) -> Line:
    """The display is the one in DISPLAY."""
    words = [str(processes.folder), *(["--private"] if private else [])]
    window = {"binary": str(WEBKIT_WINDOW), "args": words}
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = int(probe.getsockname()[1])
    driver = processes.start(
        ["WebKitWebDriver", f"--port={port}"],
        DISPLAY=os.environ["DISPLAY"],
        # A container has no room for a sandbox in it; only our own server is visited.
        WEBKIT_DISABLE_SANDBOX_THIS_IS_DANGEROUS="1",
        LIBGL_ALWAYS_SOFTWARE="1",
        NO_AT_BRIDGE="1",
    )
    return _session(driver, port, {"webkitgtk:browserOptions": window})


def chromium_begin(processes: Processes, private: bool) -> Line:
    folder = processes.folder
    arguments = [
        "--headless=new",
        "--no-sandbox",
        "--disable-gpu",
        "--disable-dev-shm-usage",
        "--no-first-run",
        "--disable-background-networking",
        "--disable-component-update",
        "--disable-sync",
        "--remote-debugging-pipe",
        f"--user-data-dir={folder}",
        "--window-size={},{}".format(*WINDOW),
        *(["--incognito"] if private else []),
    ]
    options = {
        "binary": shutil.which(CHROMIUM),
        "args": arguments,
        "prefs": {"download.default_directory": f"{folder}/downloads"},
    }
    driver = processes.start(["chromedriver", "--port=0"])
    told = began(driver, lambda: re.search(r"successfully on port (\d+)", processes.printed()))
    return _session(driver, int(told[1]), {"goog:chromeOptions": options})


def _session(driver: subprocess.Popen[bytes], port: int, wanted: dict[str, Any]) -> Line:
    def answers() -> bool:
        with socket.socket() as probe:
            return probe.connect_ex(("127.0.0.1", port)) == 0

    began(driver, answers)
    line = HttpLine(port)
    line.ask("NewSession", {"capabilities": {"alwaysMatch": wanted}})
    return line


ENGINES = [
    Engine("chromium", (CHROMIUM, "chromedriver"), "chromium chromium-driver", chromium_begin),
    Engine("firefox", ("firefox-esr",), "firefox-esr", firefox_begin),
    Engine(
        "webkit",
        ("WebKitWebDriver", "Xvfb", GTK_FROM_PYTHON, WEBKIT_FROM_PYTHON),
        "webkit2gtk-driver xvfb python3-gi gir1.2-webkit2-4.1",
        webkit_begin,
    ),
]


def main(words: list[str]) -> None:
    """`--found`: the engines that are installed, as pytest chooses tests by. `--missing`: what is
    not, in a sentence each."""
    for_lack = [it for it in ENGINES if it.missing()]
    if words == ["--found"]:
        print(" or ".join(it.name for it in ENGINES if it not in for_lack))
    else:
        for it in for_lack:
            print(
                f"{', '.join(it.missing())} is not installed, so the bank app is not tried in "
                f"{it.name.capitalize()} (on Debian: apt-get install {it.packages})."
            )


if __name__ == "__main__":
    main(sys.argv[1:])
