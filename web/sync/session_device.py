"""Which phone a session is of: so that it can be signed out from afar."""

from __future__ import annotations

from uuid import UUID

from django.contrib.auth import SESSION_KEY
from rest_framework.request import Request

from matches import sessions


def device_note(request: Request, device: UUID) -> None:
    """Keep the phone's number with its session: written once, and nothing is asked to know it.

    A program that comes by a token has no session.
    """
    session = request.session
    if SESSION_KEY in session and session.get(sessions.DEVICE) != str(device):
        session[sessions.DEVICE] = str(device)
