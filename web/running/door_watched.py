"""Signing in and out, and tries that failed, as Django tells of them."""

from __future__ import annotations

from typing import Any

from django.contrib.auth.signals import user_logged_in, user_logged_out, user_login_failed
from django.dispatch import receiver

from matches.door_log import door_told
from matches.models import Person


@receiver(user_logged_in)
def signed_in_told(user: Person, **_given: Any) -> None:
    door_told("signed in", person=user.pk)


@receiver(user_logged_out)
def signed_out_told(user: Person | None, **_given: Any) -> None:
    if user is not None:
        door_told("signed out", person=user.pk)


@receiver(user_login_failed)
def failed_told(credentials: dict[str, Any], **_given: Any) -> None:
    known = Person.objects.filter(username=credentials.get("username"))
    door_told("sign-in failed", person=known.values_list("pk", flat=True).first())
