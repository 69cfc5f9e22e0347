"""The commands of WebDriver, to whoever speaks it: over HTTP, or by Firefox's own port.

Firefox answers the same commands by name, as JSON behind its length (its Marionette protocol, from
memory), so it needs no driver beside it. WebDriver: https://www.w3.org/TR/webdriver2/
"""

from __future__ import annotations

import http.client
import json
import socket
from typing import Any, Protocol

ELEMENT = "element-6066-11e4-a52e-4f735466cecf"  # WebDriver, "web element identifier"
ANSWER_S = 120.0
PATHS = {
    "NewSession": ("POST", "/session"),
    "SetTimeouts": ("POST", "/session/{session}/timeouts"),
    "Navigate": ("POST", "/session/{session}/url"),
    "Refresh": ("POST", "/session/{session}/refresh"),
    "ExecuteScript": ("POST", "/session/{session}/execute/sync"),
    "ExecuteAsyncScript": ("POST", "/session/{session}/execute/async"),
    "ElementClick": ("POST", "/session/{session}/element/{id}/click"),
    "ElementSendKeys": ("POST", "/session/{session}/element/{id}/value"),
    "AddCookie": ("POST", "/session/{session}/cookie"),
    "DeleteAllCookies": ("DELETE", "/session/{session}/cookie"),
    "NewWindow": ("POST", "/session/{session}/window/new"),
    "SwitchToWindow": ("POST", "/session/{session}/window"),
    "GetWindowHandle": ("GET", "/session/{session}/window"),
}


class Refused(Exception):
    """The browser would not. `code` is WebDriver's, such as "stale element reference"."""

    def __init__(self, code: str, message: str) -> None:
        super().__init__(f"{code}: {message}")
        self.code = code


class Line(Protocol):
    """A way to one browser."""

    def ask(self, command: str, said: dict[str, Any]) -> Any:
        """One command's value. Raises Refused, or OSError when the browser is gone."""


class HttpLine:
    """To a driver of WebDriver at a port of this machine."""

    def __init__(self, port: int) -> None:
        self.port = port
        self.session = ""

    def ask(self, command: str, said: dict[str, Any]) -> Any:
        method, path = PATHS[command]
        path = path.format(session=self.session, id=said.get("id", ""))
        line = http.client.HTTPConnection("127.0.0.1", self.port, timeout=ANSWER_S)
        try:
            body = json.dumps(said) if method == "POST" else None
            line.request(method, path, body, {"Content-Type": "application/json"})
            value = json.loads(line.getresponse().read())["value"]
        except (http.client.HTTPException, ValueError) as error:
            raise ConnectionError(f"{command}: {error!r}") from error
        finally:
            line.close()
        if isinstance(value, dict) and "error" in value:
            raise Refused(value["error"], value.get("message", ""))
        if command == "NewSession":
            self.session = value["sessionId"]
        return value


class FirefoxLine:
    """To Firefox itself: `length:[0, number, name, said]`, and `[1, number, error, value]` back."""

    def __init__(self, port: int) -> None:
        self._socket = socket.create_connection(("127.0.0.1", port), timeout=ANSWER_S)
        self._heard = self._socket.makefile("rb")
        self._number = 0
        self._hear()  # its greeting

    def ask(self, command: str, said: dict[str, Any]) -> Any:
        self._number += 1
        body = json.dumps([0, self._number, f"WebDriver:{command}", said]).encode()
        self._socket.sendall(b"%d:%b" % (len(body), body))
        _, number, error, value = self._hear()
        assert number == self._number
        if error:
            raise Refused(error["error"], error["message"])
        return value["value"] if set(value) == {"value"} else value

    def _hear(self) -> Any:
        length = b""
        while (digit := self._heard.read(1)) != b":":
            if not digit:
                raise ConnectionError("Firefox hung up.")
            length += digit
        return json.loads(self._heard.read(int(length)))
