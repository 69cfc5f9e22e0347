"""Asks every operation of the API in the invented club, and keeps what was asked and answered.

`python -m tests.api_examples` writes the examples of the API's description anew; asked again, it
writes the same.
"""

from __future__ import annotations

import json
import uuid
from typing import TYPE_CHECKING, Any

from django.test import Client
from django.utils import timezone

from tests.steady import chance_named, steady

if TYPE_CHECKING:  # as a command, what has models is imported when the settings are read
    from tests.rights_rows import Rows

#: Who asks, where it is not the secretary.
ASKS = {
    "me": "own",
    "plan_get": "own",
    "plan_put": "own",
    "plan_suggestion_get": "own",
    "match_package": "own",
    "facts_push": "own",
    "facts_pull": "own",
    "keys_list": "own",
    "key_add": "own",
    "key_revoke": "own",
    "baits_list": "captain",
    "teams_list": "captain",
    "shops_list": "captain",
}
ASKED_MORE = {"facts_pull": "?match={match_id}&limit=2"}
#: Name,Team / Ada,Otterbeck Alders
ROSTER = "TmFtZSxUZWFtCkFkYSxPdHRlcmJlY2sgQWxkZXJzCg=="
#: Asked when the rest has been: these change what others tell of, or tell of what others did.
LATE = (
    "bulletin_publish",
    "disagreements_list",
    "facts_pull",
    "key_revoke",
    "keys_list",
    "order_spare_put",
    "plan_put",
)


def bodies(rows: Rows) -> dict[str, Any]:
    """What is sent, by operation; the calculators bring their own."""
    from tests.signing_phone import SigningPhone

    own = rows.people["own"]
    assert own is not None
    phone = SigningPhone(own, None)
    fact = {
        "id": str(uuid.uuid4()),
        "device": str(phone.device),
        "seq": 1,
        "kind": "feed_note",
        "match": str(rows.known["match_id"]),
        "peg": None,
        "recorded_at": timezone.now().isoformat(timespec="milliseconds").replace("+00:00", "Z"),
        "body": {"bait": "caster", "amount": "0.5", "unit": "pint"},
    }
    feeds = [{"bait": "caster", "amount": "1.5", "unit": "pint"}]
    stages = [{"kind": "feed", "end_minute": 300, "feeds": feeds}]
    return {
        "bulletin_publish": {"confirmed": False, "reason": "Peg 4 was read wrongly."},
        "file_import": {"kind": "anglers", "file": ROSTER},
        "plan_put": {"version": 1, "stages": stages},
        "order_spare_put": {"percent": 10},
        "plans_give": _giving(rows),
        "facts_push": {
            "protocol": 1,
            "device": str(phone.device),
            "app": "my-script",
            "facts": [fact],
        },
        "key_add": {"protocol": 1, "device": str(phone.device), "key": phone.public_key},
    }


def _giving(rows: Rows) -> dict[str, Any]:
    """One member's plan for another who has none."""
    from matches.models import Entry

    giver = Entry.objects.get(pk=rows.known["entry_id"])
    mate = Entry.objects.filter(match=giver.match, team=giver.team).exclude(pk=giver.pk).get()
    plan = getattr(mate, "plan", None)
    to = {"entry": mate.pk, "version": plan.version if plan else 0}
    return {"source": f"plan-{giver.pk}", "entries": [to]}


def answers_take(schema: dict[str, Any]) -> dict[str, dict[str, Any]]:
    """By operation: what was asked, and the status and JSON of the answer; the same each time.

    Needs a database without rows of a club.
    """
    with steady():
        taken: dict[str, dict[str, Any]] = chance_named(_answers(schema))
    return taken


def examples_of(taken: dict[str, Any], *, schema: dict[str, Any]) -> dict[str, Any]:
    """What is kept of it: what operations that bring no example of their own were asked, and their
    answers."""
    from web.api.schema_hooks import operations_of

    own = {o["operationId"] for _p, _m, o in operations_of(schema) if not o["security"]}
    return {
        name: {key: one[key] for key in ("asked", "answered") if key in one}
        for name, one in sorted(taken.items())
        if name not in own
    }


def _answers(schema: dict[str, Any]) -> dict[str, dict[str, Any]]:
    from tests.rights_rows import rows_make
    from web.api.schema_hooks import operations_of

    rows = rows_make()
    sent, taken = bodies(rows), {}
    todo = sorted(operations_of(schema), key=lambda o: (o[2]["operationId"] in LATE, o[0], o[1]))
    for path, method, operation in todo:
        name = operation["operationId"]
        if name == "bulletin_publish":
            _weigh_again(rows)
        if name == "order_spare_put":
            _unplace(rows)
        client = Client(HTTP_HOST="localhost")
        if operation["security"]:
            client.force_login(rows.people[ASKS.get(name, "secretary")])
        at = path.format(**rows.known) + ASKED_MORE.get(name, "").format(**rows.known)
        body = sent.get(name) or _own_example(operation)
        more = {"data": json.dumps(body), "content_type": "application/json"} if body else {}
        answer = getattr(client, method)(at, **more)
        taken[name] = {"status": answer.status_code, "answered": answer.json()}
        if body:
            taken[name]["asked"] = body
    return taken


def _own_example(operation: dict[str, Any]) -> Any:
    content = operation.get("requestBody", {}).get("content", {}).get("application/json", {})
    shown = content.get("examples", {})
    return next((one["value"] for one in shown.values()), None)


def _unplace(rows: Rows) -> None:
    """The order is open again: the spare of its plans can be changed."""
    from bait.models import Order
    from bait.writes.orders import order_withdraw

    order = Order.objects.get()
    captain = rows.people["captain"]
    assert captain is not None and order.current is not None
    order_withdraw(captain, order=order, version=order.current)


def _weigh_again(rows: Rows) -> None:
    """Somebody reads another weight off the scales: it disagrees, and the bulletin says so."""
    from matches.models import Match
    from matches.writes.facts import fact_log_at_desk

    match = Match.objects.get(pk=rows.known["match_id"])
    peg = match.entries.get(pk=rows.known["entry_id"]).drawn_peg.section_peg.peg.number
    body = {"net": 1, "weight": 9120, "unit": "g", "witness": None}
    fact_log_at_desk(rows.people["secretary"], match=match, kind="weigh_in", peg=peg, body=body)


def record() -> None:
    """Write `web/api/examples.json`: every operation that brings no example of its own."""
    from drf_spectacular.generators import SchemaGenerator

    from web.api.schema_hooks import EXAMPLES

    schema = SchemaGenerator().get_schema(request=None, public=True)
    taken = answers_take(schema)
    wrong = {name: one for name, one in taken.items() if one["status"] >= 300}
    assert not wrong, wrong
    kept = examples_of(taken, schema=schema)
    EXAMPLES.write_text(json.dumps(kept, ensure_ascii=False, indent=1) + "\n", encoding="utf-8")
    print(f"{len(kept)} examples")


if __name__ == "__main__":
    import os

    import django
    from django.test.utils import setup_test_environment

    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "web.settings")
    django.setup()
    setup_test_environment()
    from django.test.runner import DiscoverRunner

    runner = DiscoverRunner(verbosity=0, interactive=False)
    old = runner.setup_databases()
    try:
        record()
    finally:
        runner.teardown_databases(old)
