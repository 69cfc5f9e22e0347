"""A server that messages arrive at: a real one, on this machine, that answers as it is told."""

from __future__ import annotations

import socket
import ssl
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any


@dataclass
class Listener:
    """`answers` are statuses in turn, the last for ever; `got` what came: path, headers, body."""

    port: int
    answers: list[int] = field(default_factory=lambda: [200])
    got: list[tuple[str, dict[str, str], bytes]] = field(default_factory=list)
    body: bytes = b"ok"

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}/told?by=us"


@contextmanager
def listening(context: ssl.SSLContext | None = None) -> Iterator[Listener]:
    """A listener while the block runs; with TLS where a context is given."""
    heard: Listener

    class Handler(BaseHTTPRequestHandler):
        def do_POST(self) -> None:
            raw = self.rfile.read(int(self.headers["Content-Length"]))
            names = {name.lower(): value for name, value in self.headers.items()}
            heard.got.append((self.path, names, raw))
            status = heard.answers.pop(0) if len(heard.answers) > 1 else heard.answers[0]
            self.send_response(status)
            if 300 <= status < 400:
                self.send_header("Location", heard.address)
            self.send_header("Content-Length", str(len(heard.body)))
            self.end_headers()
            self.wfile.write(heard.body)

        def log_message(self, *_args: Any) -> None:
            return None

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    if context is not None:
        server.socket = context.wrap_socket(server.socket, server_side=True)
    heard = Listener(server.server_address[1])
    thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.01})
    thread.start()
    try:
        yield heard
    finally:
        server.shutdown()
        thread.join()
        server.server_close()


@contextmanager
def dripping(*, every_s: float) -> Iterator[int]:
    """The port of a server that answers a byte at a time and never ends."""
    server = socket.create_server(("127.0.0.1", 0))
    over = threading.Event()

    def drip() -> None:
        try:
            client, _at = server.accept()
        except OSError:
            return
        with client:
            client.sendall(b"HTTP/")
            while not over.wait(every_s):
                try:
                    client.sendall(b"x")
                except OSError:
                    return

    thread = threading.Thread(target=drip)
    thread.start()
    try:
        yield server.getsockname()[1]
    finally:
        over.set()
        server.close()
        thread.join()
