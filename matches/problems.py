"""Every problem the app can report, named once. Codes are never reused for another meaning."""

from __future__ import annotations

from enum import Enum

from django.utils.translation import gettext_lazy as _

from .reckon.errors import Fault


class Code(Enum):
    """A problem's code, its HTTP status and its title. The code ends the problem's type URI."""

    BAD_INPUT = ("bad-input", 400, _("Something in the request does not fit."))
    MALFORMED = ("malformed", 400, _("The request could not be read."))
    SIGN_IN = ("sign-in", 401, _("Sign in first."))
    NOT_ALLOWED = ("not-allowed", 403, _("You may not do this."))
    NOT_FOUND = ("not-found", 404, _("There is nothing here that you can see."))
    GONE = ("gone", 410, _("This has ended."))
    METHOD = ("method", 405, _("This address does not answer that method."))
    ACCEPT = ("accept", 406, _("This address answers in JSON only."))
    KEY_UNKNOWN = ("key-unknown", 403, _("The phone that signed this has not joined here."))
    KEY_REVOKED = ("key-revoked", 403, _("The phone that signed this was taken off the list."))
    BAD_SIGNATURE = ("bad-signature", 403, _("This is not what was signed."))
    NOT_SIGNED = ("not-signed", 403, _("This is from another’s phone and is not signed by it."))
    CONFLICT = ("conflict", 409, _("This changed meanwhile. Look again before you go on."))
    TOO_LARGE = ("too-large", 413, _("The request is too large."))
    MEDIA_TYPE = ("media-type", 415, _("Send JSON."))
    SLOW_DOWN = ("slow-down", 429, _("Too many requests. Wait a little."))
    BUSY = ("busy", 503, _("The server is busy. Try again in a moment."))

    def __init__(self, slug: str, status: int, title: str) -> None:
        self.slug = slug
        self.status = status
        self.title = title


class Problem(Exception):
    """Something the app refuses, in words for the person who asked.

    `faults` say where in the request it is wrong. Nothing was changed.
    """

    def __init__(self, code: Code, detail: str, *faults: Fault) -> None:
        super().__init__(detail)
        self.code = code
        self.detail = detail
        self.faults = faults


class MustWait(Problem):
    """Tried too often: nothing was tried this time, and nothing will be for `wait` seconds."""

    def __init__(self, detail: str, *, wait: int) -> None:
        super().__init__(Code.SLOW_DOWN, detail)
        self.wait = wait


def bad_field(pointer: str, sentence: str) -> Problem:
    """A BAD_INPUT of which one field is the reason; `pointer` such as "/reason" leads to it."""
    return Problem(Code.BAD_INPUT, sentence, Fault(pointer, sentence))
