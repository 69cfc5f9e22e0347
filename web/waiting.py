"""What a page says besides its words to who has to wait."""

from __future__ import annotations

from django.http import HttpResponse

from matches.problems import MustWait


def told_to_wait(answer: HttpResponse, wait: MustWait) -> HttpResponse:
    """The page as a 429 (RFC 6585, section 4) that says after how many seconds to come again
    (RFC 9110, section 10.2.3)."""
    answer.status_code = wait.code.status
    answer["Retry-After"] = str(wait.wait)
    return answer
