"""Letters are written out and sent: by a worker, never while a page waits."""

from __future__ import annotations

import logging
from smtplib import SMTPException

from django.conf import settings
from django.contrib.auth.tokens import default_token_generator
from django.core.mail import send_mail
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils.encoding import force_bytes
from django.utils.http import urlsafe_base64_encode
from django.utils.translation import gettext as _

from matches.models import Letter, LetterKind
from matches.writes.addresses import address_code
from matches.writes.letters import letter_sent, letters_take
from web.speaking import spoken_to

log = logging.getLogger(__name__)


def letters_send() -> int:
    """Send what is due; what a mail server does not take is tried again later. Gives how many
    went."""
    sent = 0
    for letter in letters_take():
        try:
            with spoken_to(letter.person):
                _send(letter)
        except (SMTPException, OSError) as error:
            log.warning("A letter was not taken (%s), try %d", type(error).__name__, letter.tries)
            continue
        letter_sent(letter)
        sent += 1
    return sent


def _send(letter: Letter) -> None:
    subject, link = {
        LetterKind.RECOVER: (_("A new password for Drawbag"), _recover_link),
        LetterKind.CONFIRM: (_("Your address at Drawbag"), _confirm_link),
        LetterKind.CHANGED: (_("Your account at Drawbag was changed"), _front_link),
    }[LetterKind(letter.kind)]
    said = {"person": letter.person, "link": f"{settings.SITE_URL}{link(letter)}"}
    body = render_to_string(f"letters/{letter.kind}.txt", said)
    send_mail(subject, body, None, [letter.address])


def _recover_link(letter: Letter) -> str:
    who = urlsafe_base64_encode(force_bytes(letter.person_id))
    token = default_token_generator.make_token(letter.person)
    return reverse("recover-link", args=[who, token])


def _confirm_link(letter: Letter) -> str:
    return reverse("desk:address", args=[address_code(letter.person, address=letter.address)])


def _front_link(letter: Letter) -> str:
    return reverse("recover")
