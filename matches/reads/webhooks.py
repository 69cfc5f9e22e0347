"""Addresses told what a club publishes: which may be, their secret, and what came of it."""

from __future__ import annotations

import base64
import hmac
from hashlib import sha256
from typing import Final
from urllib.parse import urlsplit

from django.conf import settings
from django.db.models import Prefetch, QuerySet
from django.utils.translation import gettext as _

from matches.models import Club, Delivery, Webhook
from matches.reckon.reading import is_storable

ADDRESS_LONGEST: Final = 300
SHOWN_MOST: Final = 20
#: How a secret is written: https://www.standardwebhooks.com, "Signing secrets".
PREFIX: Final = "whsec_"


def webhooks_of(club: Club) -> QuerySet[Webhook]:
    """The club's addresses in the order they were named, each with its newest messages as
    `newest`. For its secretary."""
    newest = Delivery.objects.order_by("-made_at")[:SHOWN_MOST]
    return club.webhooks.prefetch_related(Prefetch("deliveries", newest, to_attr="newest"))


def webhook_key(webhook: Webhook) -> bytes:
    """The 32 bytes that sign messages to an address: of the server's key and the row's salt, so
    that neither the database nor a copy of it holds them."""
    named = f"drawbag.webhook.{webhook.pk}.{webhook.salt}"
    return hmac.digest(settings.SECRET_KEY.encode(), named.encode(), sha256)


def webhook_secret(webhook: Webhook) -> str:
    """The same in writing, for who keeps the address."""
    return PREFIX + base64.b64encode(webhook_key(webhook)).decode()


def address_fault(address: str) -> str:
    """What is wrong with an address as it is written; empty where it may be called, if what its
    name leads to then is public. `WEBHOOKS_LOCAL` allows http, any port and this machine."""
    if not is_storable(address) or len(address) > ADDRESS_LONGEST or not address.isascii():
        return _("Write an address of at most 300 plain letters.")
    if any(sign <= " " or sign in '\\"<>^`{|}\x7f' for sign in address):
        return _("An address has no spaces or quotation marks.")
    try:
        parts = urlsplit(address)
        port = parts.port
    except ValueError:
        return _("This is not an address: write one such as https://club.example/told.")
    local = settings.WEBHOOKS_LOCAL
    if parts.scheme != "https" and not (local and parts.scheme == "http"):
        return _("Write an address that begins with https://.")
    if not parts.hostname or "@" in parts.netloc or parts.fragment:
        return _("Write a name after https://, and no password or #.")
    if port not in (None, 443) and not local:
        return _("Leave the port out: only 443 is called.")
    return ""
