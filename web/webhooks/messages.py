"""What a message says: JSON of a version, made from the row alone, so that each try is the same."""

from __future__ import annotations

import json
from typing import Any, Final
from uuid import UUID

from django.conf import settings
from django.urls import reverse

from matches.models import Delivery
from matches.reads.webhooks import webhook_key
from matches.times import time_write
from matches.writes.deliveries import (
    BULLETIN,
    TABLE,
    delivery_claim,
    delivery_refused,
    delivery_taken,
)

from .sending import message_send

VERSION: Final = 1


def message_body(delivery: Delivery) -> dict[str, Any]:
    """The whole of it: type, timestamp, version, and data with the club, what it is of, and links.

    Type, timestamp and data are named as the Standard Webhooks specification recommends.
    """
    club = delivery.webhook.club
    return {
        "type": delivery.event,
        "timestamp": time_write(delivery.made_at),
        "version": VERSION,
        "data": {
            "club": {"slug": club.slug, "name": club.name},
            **delivery.about,
            "links": _links(delivery, club=club.slug),
        },
    }


def message_bytes(delivery: Delivery) -> bytes:
    """As it is signed and sent."""
    body = message_body(delivery)
    return json.dumps(body, ensure_ascii=False, separators=(",", ":")).encode()


def delivery_send(delivery_id: UUID) -> None:
    """Try one message once, if it is due and nobody else holds it."""
    delivery = delivery_claim(delivery_id)
    if delivery is None:
        return
    told = message_send(
        delivery.webhook.address,
        key=webhook_key(delivery.webhook),
        message_id=str(delivery.pk),
        body=message_bytes(delivery),
    )
    if told.taken:
        delivery_taken(delivery, answer=told.answer)
    else:
        delivery_refused(delivery, answer=told.answer, gone=told.gone)


def _links(delivery: Delivery, *, club: str) -> dict[str, str]:
    about = delivery.about
    at: tuple[object, ...]
    match delivery.event:
        case event if event == BULLETIN:
            at = (club, about["match"]["slug"], about["number"])
            named = {"page": "board:bulletin", "json": "board:json", "csv": "board:csv"}
        case event if event == TABLE:
            at = (club, about["league"]["slug"], about["number"])
            named = {
                "page": "board:league-table",
                "json": "board:league-json",
                "csv": "board:league-csv",
            }
        case _:
            at, named = (club,), {"page": "board:club"}
    return {key: settings.SITE_URL + reverse(name, args=at) for key, name in named.items()}
