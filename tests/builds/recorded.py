"""What earlier builds sent and kept (`record.py`), and the world they did it in."""

from __future__ import annotations

import base64
import gzip
import json
from pathlib import Path
from typing import Any

from django.db.models import ForeignObjectRel, Model

from tests.clients import signed_in

CASES = Path(__file__).parents[1] / "cases"
# One a build that changed what is sent, or kept. Never edited, only added to.
PUSHED = json.loads((CASES / "pushed_by_builds.json").read_text())
DATABASES = json.loads((CASES / "phone_databases.json").read_text())


def name_of(recorded: dict[str, Any]) -> str:
    """For a test's name."""
    return f"{recorded['commit'][:7]} {recorded['why']}"


def posts_of(kept: dict[str, Any]) -> Any:
    """What was sent on the day of which a database was kept."""
    return next(one["posts"] for one in PUSHED if one["why"] == kept["why"])


def sent(post: dict[str, Any]) -> bytes:
    """The bytes as they went over the wire."""
    return base64.b64decode(post["body"]) if post["packed"] else str(post["body"]).encode()


def said(post: dict[str, Any]) -> Any:
    """What those bytes say."""
    return json.loads(gzip.decompress(sent(post)) if post["packed"] else sent(post))


def came(world: Any, post: dict[str, Any]) -> Any:
    """The server's answer to the same bytes, from the same person."""
    client = signed_in(getattr(world, post["by"]))
    headers = {"Content-Encoding": "gzip"} if post["packed"] else {}
    return client.post(post["path"], sent(post), content_type="application/json", headers=headers)


def as_recorded(world: Any) -> None:
    """Number the world's match and people as they were: what a phone signed names them."""
    world.match = renumbered(world.match, 4100, unique="slug")
    world.weigher = renumbered(world.weigher, 6100, unique="username")
    world.member = renumbered(world.member, 6200, unique="username")


def renumbered(row: Any, number: int, *, unique: str) -> Any:
    """The same row under another number, with all that points to it."""
    model: type[Model] = type(row)
    before = row.pk
    model._base_manager.filter(pk=before).update(**{unique: f"was-{before}"})
    row.pk = number
    row.save(force_insert=True)
    for relation in model._meta.get_fields(include_hidden=True):
        if isinstance(relation, ForeignObjectRel) and relation.field.concrete:
            held = relation.related_model._base_manager.filter(**{relation.field.name: before})
            held.update(**{relation.field.name: number})
    model._base_manager.filter(pk=before).delete()
    return model._base_manager.get(pk=number)
