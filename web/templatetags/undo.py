"""The way back that a message carries, for the page that shows it."""

from __future__ import annotations

import json
from typing import Any

from django import template
from django.contrib.messages.storage.base import Message

register = template.Library()


@register.filter
def undo_of(message: Message) -> dict[str, Any] | None:
    """`at` and `fields` of the press that takes back what the message tells; None for no such."""
    return json.loads(message.extra_tags) if message.extra_tags else None
