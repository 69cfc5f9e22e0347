"""The wire between a phone and the server. Cut, the server is dead: nothing answers at its port."""

from __future__ import annotations

import socket
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress

CAFE = b"<h1>Sign in to our network</h1>"
CAFES_ANSWER = (
    b"HTTP/1.1 200 OK\r\nContent-Type: text/html\r\nConnection: close\r\n"
    b"Content-Length: %d\r\n\r\n%s" % (len(CAFE), CAFE)
)


class Wire:
    """Carries bytes from a port of its own to the server's, until cut; mended, at the same port.

    `losing`: whoever asks in these words is heard by the server, and never hears the answer.
    """

    def __init__(self, server_port: int) -> None:
        self.server_port = server_port
        self.port = 0
        self.losing = b""
        self._door: socket.socket | None = None
        self._open: set[socket.socket] = set()
        self._lock = threading.Lock()
        self.mend()

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def mend(self, *, cafe: bool = False) -> None:
        """`cafe`: to a network whose own page answers whatever is asked."""
        door = socket.create_server(("127.0.0.1", self.port))
        self._door, self.port = door, int(door.getsockname()[1])
        threading.Thread(target=self._answer, args=(door, cafe), daemon=True).start()

    def cut(self) -> None:
        """Close the door and all that goes through it."""
        with self._lock:
            door, self._door = self._door, None
            ends = [*self._open, *([door] if door else [])]
            self._open.clear()
        for end in ends:
            _close(end)

    @contextmanager
    def flapping(self, each_s: float) -> Iterator[None]:
        """Cut for so many seconds and mended for as many, again and again; mended afterwards."""
        over = threading.Event()

        def flap() -> None:
            while not over.is_set():
                self.cut()
                over.wait(each_s)
                self.mend()
                over.wait(each_s)

        flapper = threading.Thread(target=flap, daemon=True)
        flapper.start()
        try:
            yield
        finally:
            over.set()
            flapper.join()

    def _answer(self, door: socket.socket, cafe: bool) -> None:
        while True:
            try:
                phone, _ = door.accept()
            except OSError:
                return
            if cafe:
                threading.Thread(target=_cafe_answer, args=(phone,), daemon=True).start()
                continue
            try:
                server = socket.create_connection(("127.0.0.1", self.server_port))
                for end in (phone, server):  # as parts come, so they go on
                    end.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
            except OSError:
                _close(phone)
                continue
            with self._lock:
                is_cut = self._door is not door
                if not is_cut:
                    self._open |= {phone, server}
            if is_cut:
                _close(phone)
                _close(server)
                return
            lost = threading.Event()
            for one, other in ((phone, server), (server, phone)):
                words = (one, other, lost, one is phone)
                threading.Thread(target=self._carry, args=words, daemon=True).start()

    def _carry(
        self, one: socket.socket, other: socket.socket, lost: threading.Event, asks: bool
    ) -> None:
        with suppress(OSError):
            while heard := one.recv(65_536):
                if asks and self.losing and self.losing in heard:
                    lost.set()
                elif not asks and lost.is_set():
                    break
                other.sendall(heard)
        with self._lock:
            self._open -= {one, other}
        _close(one)
        _close(other)


def _cafe_answer(phone: socket.socket) -> None:
    with suppress(OSError):
        phone.recv(65_536)
        phone.sendall(CAFES_ANSWER)
    _close(phone)


def _close(end: socket.socket) -> None:
    with suppress(OSError):
        end.shutdown(socket.SHUT_RDWR)
    end.close()
