"""For how long others may keep what the board says, and by what they know it again."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.utils.cache import get_conditional_response, patch_cache_control


def told_as(
    request: HttpRequest, response: HttpResponse, *, digest: str, seconds: int
) -> HttpResponseBase:
    """The answer with `digest` as its tag, or 304 to who holds it; kept by anybody so long."""
    response["ETag"] = f'"{digest}"'
    patch_cache_control(response, public=True, max_age=seconds)
    return get_conditional_response(request, etag=response["ETag"], response=response) or response
