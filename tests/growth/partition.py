"""By what each table would be shared out between databases: the way to the club of its rows."""

from __future__ import annotations

from collections import deque

from django.apps import apps
from django.db.models import ForeignKey, Model, OneToOneField

from matches.models import Club

ROOMS = ("matches", "bait")


def paths_to_club() -> dict[str, tuple[str, ...] | None]:
    """For each table of ours the fields that lead to a club, the shortest way that is never empty;
    None for what belongs to no one club."""
    return {
        model._meta.db_table: _path(model)
        for room in ROOMS
        for model in apps.get_app_config(room).get_models()
    }


def _path(model: type[Model]) -> tuple[str, ...] | None:
    waiting: deque[tuple[type[Model], tuple[str, ...]]] = deque([(model, ())])
    seen = {model}
    while waiting:
        here, path = waiting.popleft()
        if here is Club:
            return path
        for field in here._meta.concrete_fields:
            if not isinstance(field, ForeignKey | OneToOneField) or field.null:
                continue
            there = field.related_model
            if isinstance(there, type) and there not in seen:
                seen.add(there)
                waiting.append((there, (*path, field.name)))
    return None
