"""Where sessions are kept: Django's own store, with a row that says whose a session is.

The class bears the name of Django's: what signs a session's data is named after it.
"""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any, cast
from uuid import UUID

from django.contrib.auth import SESSION_KEY
from django.contrib.sessions.backends import db
from django.contrib.sessions.base_session import AbstractBaseSession

if TYPE_CHECKING:
    from matches.models import SignedIn

DEVICE, AGENT, SINCE = "device", "agent", "since"
#: In a session's data: that a code besides the password was given in it.
SECOND = "second"


class SessionStore(db.SessionStore):
    @classmethod
    def get_model_class(cls) -> type[AbstractBaseSession]:
        from matches.models import SignedIn

        return SignedIn

    def create_model_instance(self, data: dict[str, Any]) -> AbstractBaseSession:
        row = cast("SignedIn", super().create_model_instance(data))
        row.person_id = int(data[SESSION_KEY]) if SESSION_KEY in data else None
        row.device = UUID(data[DEVICE]) if DEVICE in data else None
        row.agent = data.get(AGENT, "")
        row.since = dt.datetime.fromisoformat(data[SINCE]) if SINCE in data else None
        return row
