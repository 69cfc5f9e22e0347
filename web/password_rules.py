"""Rules of a new password besides Django's own; those of before still sign in."""

from __future__ import annotations

from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

SIGNS_LEAST = 12
SIGNS_MOST = 128


class SignsAtMost:
    """Nobody types more, and slow hashes of endless ones would cost the server (ASVS 2.1.2)."""

    def validate(self, password: str, user: object = None) -> None:
        """Raises ValidationError."""
        if len(password) > SIGNS_MOST:
            raise ValidationError(
                _("This password is too long: at most %(most)d characters.") % {"most": SIGNS_MOST},
                code="password_too_long",
            )

    def get_help_text(self) -> str:
        return _("It has at most %(most)d characters.") % {"most": SIGNS_MOST}
