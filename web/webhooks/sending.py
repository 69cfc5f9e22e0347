"""One try to send one message: to a checked address, signed, bounded in time and in size."""

from __future__ import annotations

import base64
import hmac
import http.client
import socket
import ssl
import threading
import time
from collections.abc import Mapping
from dataclasses import dataclass
from hashlib import sha256
from typing import Final
from urllib.parse import SplitResult, urlsplit

from django.conf import settings
from django.utils.translation import gettext as _

from .public_net import NotPublic, addresses_found

CONNECT_S: Final = 5.0
#: Of many addresses of a name so many are tried: in all well within what a task may take.
TRIED_MOST: Final = 3
#: For the whole try after the name was looked up, however slowly the other side drips.
WHOLE_S: Final = 15.0
ANSWER_MOST: Final = 64 * 1024


@dataclass(frozen=True, slots=True)
class Told:
    """How a try went: taken, gone for good, and the answer in words."""

    taken: bool
    answer: str
    gone: bool = False


def signed_headers(key: bytes, *, message_id: str, at: int, body: bytes) -> dict[str, str]:
    """The headers of the Standard Webhooks specification: HMAC-SHA256 over id, seconds and body.

    Source: https://github.com/standard-webhooks/standard-webhooks, spec/standard-webhooks.md.
    """
    signed = b".".join((message_id.encode(), str(at).encode(), body))
    signature = base64.b64encode(hmac.digest(key, signed, sha256)).decode()
    return {
        "webhook-id": message_id,
        "webhook-timestamp": str(at),
        "webhook-signature": f"v1,{signature}",
    }


def message_send(address: str, *, key: bytes, message_id: str, body: bytes) -> Told:
    """Post it, and say how that went. Follows no redirect; reads at most 64 kB of the answer."""
    headers = {
        "Content-Type": "application/json",
        "User-Agent": "Drawbag",
        "Connection": "close",
        **signed_headers(key, message_id=message_id, at=int(time.time()), body=body),
    }
    try:
        status = _posted(urlsplit(address), body=body, headers=headers)
    except NotPublic as refused:
        return Told(False, str(refused))
    except ssl.SSLError as error:
        return Told(False, _("No safe connection: %(why)s") % {"why": _short(error)})
    except (OSError, http.client.HTTPException, ValueError) as error:
        return Told(False, _("No answer: %(why)s") % {"why": _short(error)})
    return _told(status)


def _told(status: int) -> Told:
    if 200 <= status < 300:
        return Told(True, str(status))
    if 300 <= status < 400:
        return Told(False, _("%(status)d: it leads elsewhere, and is not followed.") % _of(status))
    if status == 410:
        return Told(False, _("410: it is gone for good."), gone=True)
    return Told(False, _("%(status)d: not taken.") % _of(status))


def _of(status: int) -> dict[str, int]:
    return {"status": status}


def _short(error: Exception) -> str:
    """Without what a stranger's server said beyond a line."""
    words = str(getattr(error, "strerror", None) or error) or type(error).__name__
    return " ".join(words.split())[:120]


def _posted(to: SplitResult, *, body: bytes, headers: Mapping[str, str]) -> int:
    host, secure = to.hostname or "", to.scheme == "https"
    port = to.port or (443 if secure else 80)
    if settings.WEBHOOK_HOSTS and host not in settings.WEBHOOK_HOSTS:
        raise NotPublic(_("Whoever runs the server lets messages go to other hosts only."))
    found = addresses_found(host, port, local=settings.WEBHOOKS_LOCAL)
    connection = _Connection(host, port, found=found, secure=secure)
    try:
        path = (to.path or "/") + (f"?{to.query}" if to.query else "")
        connection.request("POST", path, body=body, headers=dict(headers))
        answer = connection.getresponse()
        answer.read(ANSWER_MOST)
        return answer.status
    finally:
        connection.finish()


class _Connection(http.client.HTTPConnection):
    """To the addresses that were checked, whatever the name leads to by now; the certificate and
    the Host are the name's. Shut after `WHOLE_S`."""

    def __init__(self, host: str, port: int, *, found: list[str], secure: bool) -> None:
        super().__init__(host, port, timeout=CONNECT_S)
        self.default_port = 443 if secure else 80
        self._found, self._secure = found, secure
        self._watch: threading.Timer | None = None

    def connect(self) -> None:
        self.sock = self._first_connected()
        if self._secure:
            self.sock = tls_context().wrap_socket(
                self.sock, server_hostname=self.host, do_handshake_on_connect=False
            )
        self._watch = threading.Timer(WHOLE_S, _shut, args=[self.sock])
        self._watch.daemon = True
        self._watch.start()
        if isinstance(self.sock, ssl.SSLSocket):
            self.sock.do_handshake()

    def _first_connected(self) -> socket.socket:
        failed = OSError(_("There is no such name."))
        for address in self._found[:TRIED_MOST]:
            try:
                return socket.create_connection((address, self.port), CONNECT_S)
            except OSError as error:
                failed = error
        raise failed

    def finish(self) -> None:
        """Close it. (`close` comes before the answer is read, where no more is to follow.)"""
        if self._watch is not None:
            self._watch.cancel()
        self.close()


def tls_context() -> ssl.SSLContext:
    """Certificates are checked as browsers do, by name and by who signed them."""
    return ssl.create_default_context()


def _shut(sock: socket.socket) -> None:
    """Whoever waits at the socket reads its end, within TLS too."""
    try:
        socket.socket.shutdown(sock, socket.SHUT_RDWR)
    except OSError:
        return  # closed meanwhile
