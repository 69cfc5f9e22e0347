"""For how long others may keep what the board says, and by what they know it again."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.utils.cache import get_conditional_response, patch_cache_control, patch_vary_headers
from django.utils.translation import get_language


def told_as(
    request: HttpRequest,
    response: HttpResponse,
    *,
    digest: str,
    seconds: int,
    in_words: bool = True,
) -> HttpResponseBase:
    """The answer with `digest` as its tag, or 304 to who holds it; kept by anybody so long.

    What is `in_words` is another answer in another language, which a browser's wish or its cookie
    chooses; a bulletin's own body and its table are the same for all.
    """
    response["ETag"] = f'"{digest}-{get_language()}"' if in_words else f'"{digest}"'
    if in_words:
        patch_vary_headers(response, ("Accept-Language", "Cookie"))
    patch_cache_control(response, public=True, max_age=seconds)
    return get_conditional_response(request, etag=response["ETag"], response=response) or response
