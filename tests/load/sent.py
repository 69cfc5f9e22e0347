"""Forms filled in and bodies written wrongly, thousands of times: refused in words, never a 5xx.

What is refused has written nothing. Everything is taken back after it was looked at.
"""

from __future__ import annotations

import json
import sys
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any
from uuid import UUID

from django.core.cache import cache
from django.db import transaction
from django.test import Client
from drf_spectacular.generators import SchemaGenerator
from hypothesis import HealthCheck, Phase, given, seed, settings
from hypothesis import strategies as st

from matches.models import AuditEntry, Fact
from tests.rights_rows import Rows
from tests.web.test_rights_pages import BODIES

from .forms import ROLES as PAGE_ROLES
from .forms import Form, forms_of
from .nasty import changed, json_write, places, typed, values
from .rows import Row

STORED = {"accepted", "duplicate", "disagrees", "waiting"}
ROLES = ("secretary", "captain", "own", "weigher", "other club")
QUIET = settings(
    database=None,
    deadline=None,
    phases=[Phase.generate],
    suppress_health_check=list(HealthCheck),
)


@dataclass(slots=True)
class Sent:
    """How often each status was answered, and the first of each kind of fault."""

    statuses: Counter[int] = field(default_factory=Counter)
    faults: dict[str, str] = field(default_factory=dict)

    def fault(self, where: str, words: str, shown: object) -> None:
        self.faults.setdefault(f"{where}: {words}", f"{shown!r:.600}")


def sent_try(rows: Rows, *, on: str, short: bool) -> list[Row]:
    each = 100 if short else 3_500
    return [
        _row("forms filled in wrongly", forms_send(rows, most=each), on),
        _row("bodies of the API written wrongly", bodies_send(rows, most=each), on),
        _row("facts written wrongly", facts_send(rows, most=each), on),
    ]


def _row(trial: str, sent: Sent, on: str) -> Row:
    for words, shown in sent.faults.items():
        print(f"{words}\n{shown}", file=sys.stderr)
    said = ", ".join(f"{n:,} × {status}" for status, n in sorted(sent.statuses.items()))
    measured = "; ".join(sent.faults)[:600] or f"{sent.statuses.total():,} ({said})"
    return Row(trial, on, measured, "no 5xx; what is refused wrote nothing", not sent.faults)


def _signed_in(rows: Rows) -> dict[str, Client]:
    made = {}
    for who in ROLES:
        made[who] = Client(HTTP_HOST="localhost")
        made[who].force_login(rows.people[who])  # type: ignore[arg-type]
    return made


def _many(most: int, start: int, work: Callable[..., None], **given_: Any) -> None:
    seed(start)(settings(QUIET, max_examples=most)(given(**given_)(work)))()


def _look(sent: Sent, where: str, ask: Callable[[], Any], shown: object) -> Any:
    """The answer, held against what any must be; None when there is none."""
    before = (AuditEntry.objects.count(), Fact.objects.count())
    try:
        with transaction.atomic():
            answer = ask()
    except Exception as error:  # noqa: BLE001 - what the server would answer 500 to
        sent.statuses[500] += 1
        sent.fault(where, f"{type(error).__name__}: {error!s:.200}", shown)
        return None
    sent.statuses[answer.status_code] += 1
    if answer.status_code >= 500:
        sent.fault(where, str(answer.status_code), shown)
    if answer.status_code >= 400 and before != (AuditEntry.objects.count(), Fact.objects.count()):
        sent.fault(where, f"{answer.status_code}, yet something was written", shown)
    return answer


def _taken_back(work: Callable[[], None]) -> None:
    cache.clear()  # or the throttle answers
    with transaction.atomic():
        work()
        transaction.set_rollback(True)


# ---- forms ---------------------------------------------------------------------------------


def forms_send(rows: Rows, *, most: int, start: int = 0, roles: Sequence[str] = PAGE_ROLES) -> Sent:
    """Every form of the pages, with one or two fields otherwise, left out, or sent twice."""
    sent, clients, forms = Sent(), _signed_in(rows), forms_of(rows, roles=roles)

    def send(form: Form, data: st.DataObject) -> None:
        fields = dict(form.fields)
        if form.presses:
            fields |= [data.draw(st.sampled_from(form.presses))]
        for name in data.draw(st.lists(st.sampled_from(sorted(fields) or ["x"]), max_size=2)):
            fields[name] = data.draw(st.one_of(typed(), st.just(None)))
        for name in [name for name, value in fields.items() if value is None]:
            del fields[name]
        body = {name: value.encode("utf-8", "replace").decode() for name, value in fields.items()}
        _taken_back(
            lambda: _look(
                sent,
                f"POST {form.address}",
                lambda: clients[form.who].post(form.address, body),
                (form.who, {name: value[:60] for name, value in body.items()}),
            )
        )

    _many(most, start, send, form=st.sampled_from(forms), data=st.data())
    return sent


# ---- bodies --------------------------------------------------------------------------------


def bodies_send(rows: Rows, *, most: int, start: int = 0) -> Sent:
    """The examples of the API's own description, with a value otherwise, left out, or one more."""
    sent, clients = Sent(), _signed_in(rows)

    def send(example: tuple[str, str, Any], who: str, data: st.DataObject) -> None:
        method, address, body = example
        place = data.draw(st.sampled_from(places(body)))
        how = data.draw(st.sampled_from(("otherwise", "left out", "beside")))
        raw = json_write(changed(body, place, data.draw(values()), how=how))
        _taken_back(
            lambda: _api_look(sent, f"{method} {address}", clients[who], method, address, raw)
        )

    examples = st.sampled_from(_examples(rows.known))
    _many(most, start, send, example=examples, who=st.sampled_from(ROLES), data=st.data())
    return sent


def _api_look(sent: Sent, where: str, client: Client, method: str, address: str, raw: bytes) -> Any:
    answer = _look(
        sent,
        where,
        lambda: client.generic(method, address, raw, content_type="application/json"),
        raw[:600],
    )
    if answer is not None and answer.status_code >= 400 and not _in_words(answer):
        sent.fault(where, f"{answer.status_code} without words", raw[:600])
    return answer


def _in_words(answer: Any) -> bool:
    is_problem = answer["Content-Type"] == "application/problem+json"
    return is_problem and bool(answer.json()["detail"])


def _examples(known: dict[str, Any]) -> list[tuple[str, str, Any]]:
    """Method, address and body of every example in the description."""
    described = SchemaGenerator().get_schema(request=None, public=True)
    found = []
    for path, operations in described["paths"].items():
        for method, operation in operations.items():
            content = operation.get("requestBody", {}).get("content", {})
            examples = content.get("application/json", {}).get("examples", {})
            address = path.format_map(known) if "{" in path else path
            found += [(method.upper(), address, one["value"]) for one in examples.values()]
    return found


# ---- facts ---------------------------------------------------------------------------------


def facts_send(rows: Rows, *, most: int, start: int = 0) -> Sent:
    """A good fact and a wrong one in one push: the good one is stored, a refused one is not."""
    sent, clients = Sent(), _signed_in(rows)

    def send(kind: str, who: str, data: st.DataObject) -> None:
        wrong = _fact(rows, kind, 2)
        place = data.draw(st.sampled_from(places(wrong)))
        how = data.draw(st.sampled_from(("otherwise", "left out", "beside")))
        facts = [_fact(rows, "peg_note", 1), changed(wrong, place, data.draw(values()), how=how)]
        push = {"protocol": 1, "device": str(UUID(int=7)), "app": "b2", "facts": facts}
        raw = json_write(push)

        def look() -> None:
            where = f"a {kind} pushed"
            answer = _api_look(sent, where, clients[who], "POST", "/api/v1/sync/facts", raw)
            if answer is not None and answer.status_code == 200:
                _outcomes_look(sent, where, answer.json()["outcomes"], raw, who=who)

        _taken_back(look)

    kinds = st.sampled_from(sorted(BODIES))
    _many(most, start, send, kind=kinds, who=st.sampled_from(ROLES), data=st.data())
    return sent


def _fact(rows: Rows, kind: str, n: int) -> dict[str, Any]:
    return {
        "id": str(UUID(int=n)),
        "device": str(UUID(int=7)),
        "seq": n,
        "kind": kind,
        "match": str(rows.known["match_id"]),
        "peg": "4",
        "recorded_at": "2026-06-20T13:05:11.250Z",
        "clock_offset_ms": 0,
        "supersedes": None,
        "body": BODIES[kind],
    }


def _outcomes_look(
    sent: Sent, where: str, outcomes: list[dict[str, Any]], raw: bytes, *, who: str
) -> None:
    """One outcome a fact; what is told as stored is there, and nothing else."""
    if len(outcomes) != 2:
        sent.fault(where, f"{len(outcomes)} outcomes of 2 facts", raw[:900])
    told = {one["id"].lower() for one in outcomes if one["outcome"] in STORED}
    mine = Fact.objects.filter(device=UUID(int=7)) | Fact.objects.filter(pk__in=told)
    there = {str(pk) for pk in mine.values_list("pk", flat=True)}
    if told != there:
        sent.fault(where, f"told {len(told)} stored, {len(there)} are", raw[:900])
    if who != "other club" and outcomes[0]["outcome"] not in ("accepted", "clash"):
        sent.fault(where, f"the good one is {outcomes[0]['outcome']}", raw[:900])
    refused = [one for one in outcomes if one["outcome"] == "refused"]
    if not all(json.dumps(one["problem"]["detail"]) for one in refused):
        sent.fault(where, "refused without words", raw[:900])
