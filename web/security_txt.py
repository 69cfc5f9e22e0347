"""Where whoever finds a hole in the site is asked to say so (RFC 9116)."""

from __future__ import annotations

import datetime as dt

from django.conf import settings
from django.http import Http404, HttpRequest, HttpResponse
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_safe

EXPIRES_DAYS = 90


@require_safe
def security_txt(request: HttpRequest) -> HttpResponse:
    """Contacts, in the order of SECURITY_CONTACT; nothing is there where none is set.

    It expires 90 days after the day it is read: whoever reads it asks the site itself. The
    canonical address is named over https only (section 2.5.2).
    """
    if not settings.SECURITY_CONTACTS:
        raise Http404
    today = timezone.now().replace(hour=0, minute=0, second=0, microsecond=0)
    expires = (today + dt.timedelta(days=EXPIRES_DAYS)).isoformat().replace("+00:00", "Z")
    lines = [f"Contact: {contact}" for contact in settings.SECURITY_CONTACTS]
    lines += [f"Expires: {expires}", "Preferred-Languages: en"]
    if settings.SITE_URL.startswith("https://"):
        lines.append(f"Canonical: {settings.SITE_URL}{reverse('security-txt')}")
    text = "".join(f"{line}\r\n" for line in lines)
    answer = HttpResponse(text, content_type="text/plain; charset=utf-8")
    answer["Cache-Control"] = "public, max-age=86400"
    return answer
