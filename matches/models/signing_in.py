"""What guards the door, and what opens it to whoever has lost the password."""

from __future__ import annotations

from typing import Any

from django.contrib.sessions.base_session import AbstractBaseSession
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from .people import Club, Person


class Attempts(models.Model):
    """How often something was tried lately under one name or from one address, and until when
    nothing more is tried. The name or address itself is not kept: `key` is a keyed hash of it."""

    key = models.CharField(max_length=64, unique=True)
    failures = models.PositiveIntegerField(default=0)
    last_at = models.DateTimeField(db_index=True)
    wait_until = models.DateTimeField(null=True, blank=True)

    class Meta:
        verbose_name_plural = "attempts"

    def __str__(self) -> str:
        return f"{self.key[:8]} · {self.failures}"


class RecoveryCode(models.Model):
    """Lets a person in once, with a new password, who has lost theirs. The code itself is shown
    when it is made and kept nowhere: `digest` is its hash, made as those of passwords are."""

    person = models.ForeignKey(Person, models.CASCADE, related_name="recovery_codes")
    # The club whose secretary made it; none where the keeper of the server did.
    club = models.ForeignKey(Club, models.CASCADE, null=True, blank=True, related_name="+")
    made_by = models.ForeignKey(Person, models.SET_NULL, null=True, blank=True, related_name="+")
    digest = models.CharField(max_length=128)
    made_at = models.DateTimeField()
    ends_at = models.DateTimeField()
    used_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(ends_at__gte=F("made_at")), name="recovery_ends_after_it_is_made"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.person} · {self.ends_at:%Y-%m-%d %H:%M}"


class SecondFactor(models.Model):
    """What a person signs in with besides the password: codes that an app of theirs works out from
    a secret. `secret` is encrypted, `spares` are hashes of the codes for who has lost the app."""

    person = models.OneToOneField(Person, models.CASCADE, related_name="second_factor")
    secret = models.CharField(max_length=255)
    spares = models.JSONField(default=list)
    # The half minute whose code was used last: none of it or before it fits again.
    last_step = models.BigIntegerField(default=0)
    made_at = models.DateTimeField()
    # When a first code showed that the app has the secret; until then nothing is asked.
    on_since = models.DateTimeField(null=True, blank=True)

    def __str__(self) -> str:
        return str(self.person)


class SignedIn(AbstractBaseSession):
    """A session, with whose it is and what is known of the device: so that a person sees where
    they are signed in, and ends it from afar. Written from the session's own data alone."""

    person = models.ForeignKey(Person, models.CASCADE, null=True, related_name="sessions")
    # The phone that sent facts in this session, by its own number; none of a desk.
    device = models.UUIDField(null=True)
    agent = models.CharField(max_length=60, blank=True)
    since = models.DateTimeField(null=True)

    @classmethod
    def get_session_store_class(cls) -> type[Any]:
        from matches.sessions import SessionStore

        return SessionStore


class LetterKind(models.TextChoices):
    RECOVER = "recover", _("a way in for who has lost the password")
    CONFIRM = "confirm", _("a new address, to be confirmed")
    CHANGED = "changed", _("word that the password was changed")


class Letter(models.Model):
    """A letter to be sent: written with its cause, gone when it is sent. What it says, and what
    opens a door in it, is made as it is sent and kept nowhere."""

    kind = models.CharField(max_length=8, choices=LetterKind)
    person = models.ForeignKey(Person, models.CASCADE, related_name="letters")
    address = models.EmailField()
    asked_at = models.DateTimeField()
    not_before = models.DateTimeField()
    tries = models.PositiveSmallIntegerField(default=0)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(kind__in=LetterKind.values), name="letter_kind_known"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} · {self.person}"


class NoticeKind(models.TextChoices):
    PASSWORD = "password", _("Your password was changed.")
    ADDRESS = "address", _("The e-mail address of your account was changed.")
    CODE = "code", _("A code was made that sets a new password for your account.")
    SECOND_ON = "second_on", _("Signing in with a code besides the password was turned on.")
    SECOND_OFF = "second_off", _("Signing in with a code besides the password was turned off.")
    SPARE = "spare", _("A spare code was used to sign in.")


class Notice(models.Model):
    """Word to a person that their way in was changed, shown until they put it away: a letter may
    not reach them."""

    person = models.ForeignKey(Person, models.CASCADE, related_name="notices")
    kind = models.CharField(max_length=10, choices=NoticeKind)
    at = models.DateTimeField(db_index=True)

    class Meta:
        ordering = ["-id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(kind__in=NoticeKind.values), name="notice_kind_known"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.person} · {self.kind}"
