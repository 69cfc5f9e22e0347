"""A crowd of phones that find the signal at once is let in a few at a time."""

from __future__ import annotations

from collections.abc import Callable
from math import ceil
from threading import Condition
from time import monotonic

from django.conf import settings
from django.core.exceptions import RequestDataTooBig
from django.http import HttpRequest, HttpResponseBase, UnreadablePostError
from django.utils.translation import gettext as _

from matches.problems import Code
from web.problem_details import problem_page

FACTS_PATH = "/api/v1/sync/facts"
FIRST_GUESS_S = 0.05
LONGEST_WAIT_S = 60
#: How much the latest push says of how long one takes.
LATEST_PART = 0.1
#: So many stand at the gate, each so long at most: a few phones need not come twice, and as one
#: leaves the next is there. Each holds one of the process's threads.
WAITING_MOST = 2
WAITING_S = 1.0


class PushGateMiddleware:
    """In one process at most `PUSHES_AT_ONCE` pushes of facts are worked on at once.

    Who comes beyond that is answered 429 at once, with a turn in Retry-After: each a little later
    than the one before, as fast as pushes go just now. So a thousand phones come back one after
    the other, each push is answered soon, and pages have threads left meanwhile.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response
        self.most: int = settings.PUSHES_AT_ONCE
        self.freed = Condition()
        self.inside = self.waiting = 0
        self.takes_s = FIRST_GUESS_S
        self.last_turn = self.idle_since = monotonic()

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        if request.method != "POST" or request.path != FACTS_PATH:
            return self.get_response(request)
        try:
            request.body  # noqa: B018 - all of it here: a slow line keeps nobody else waiting
        except RequestDataTooBig:
            return self.get_response(request)
        except UnreadablePostError:
            return problem_page(request, Code.MALFORMED, _("The body ended early. Send it again."))
        if wait := self._enter():
            return _come_again(request, wait)
        began = monotonic()
        try:
            return self.get_response(request)
        finally:
            self._leave(monotonic() - began)

    def _enter(self) -> int:
        """0 to go in, else whole seconds until one's turn."""
        with self.freed:
            if self.inside >= self.most and self.waiting < WAITING_MOST:
                self.waiting += 1
                self.freed.wait_for(lambda: self.inside < self.most, timeout=WAITING_S)
                self.waiting -= 1
            now = monotonic()
            if self.inside < self.most:
                if not self.inside:
                    # Whose turn it was came late, or never: all who ask are told so much less.
                    self.last_turn -= now - self.idle_since
                self.inside += 1
                return 0
            latest = now + LONGEST_WAIT_S
            turn = max(self.last_turn, now) + self.takes_s / self.most
            self.last_turn = min(turn, latest)
            return ceil(self.last_turn - now)

    def _leave(self, took_s: float) -> None:
        with self.freed:
            self.inside -= 1
            self.freed.notify()
            self.idle_since = monotonic()
            self.takes_s += LATEST_PART * (took_s - self.takes_s)


def _come_again(request: HttpRequest, wait_s: int) -> HttpResponseBase:
    words = _("Many phones send at once. Nothing was stored; send it again in a moment.")
    answer = problem_page(request, Code.SLOW_DOWN, words)
    answer["Retry-After"] = str(wait_s)
    return answer
