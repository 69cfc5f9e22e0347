"""How long what is kept: one table, which the settings, the command and the privacy page read.

Results, the money of matches and the trail of changes are not in it: they are kept.
"""

from __future__ import annotations

from typing import Final

from django.core.exceptions import ImproperlyConfigured
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

#: By key: days, and what is kept so long, counted from what.
KEPT: Final[dict[str, tuple[int, Promise]]] = {
    "erase_after": (7, _("the time to think after you ask to be erased")),
    "notes": (1_825, _("notes of feed, fish and pegs, after their match")),
    "devices": (730, _("the name of a phone, after it was last seen")),
    "refused": (365, _("that a phone’s fact was refused, after it came")),
    "invitations": (90, _("an invitation, after it ended")),
    "work": (90, _("that something was worked out, after it was done")),
    "notices": (365, _("word that your way in was changed, where you do not put it away")),
    "sessions": (1, _("that somebody was signed in, after it ended")),
}


def kept_days(said: str) -> dict[str, int]:
    """Days by key, with what `said` has otherwise: "notes=400 work=30". Each is 1 day at least."""
    days = {key: many for key, (many, _words) in KEPT.items()}
    for part in said.split():
        key, _sign, many = part.partition("=")
        if key not in KEPT or not (many.isascii() and many.isdigit() and 1 <= int(many) <= 36_500):
            raise ImproperlyConfigured(
                f"KEEP_DAYS: {part!r} is not one of {', '.join(KEPT)}, = and a number of days."
            )
        days[key] = int(many)
    return days
