"""The API asked by its own description: every operation, every role, right and wrong requests.

What is sent is made by schemathesis from the description; each answer must be one that the
operation describes, of that content type and shape, and never a 5xx. Nothing that was asked stays:
every request is taken back.
"""

from __future__ import annotations

import sys
import warnings
from collections import Counter
from dataclasses import dataclass, field
from typing import Any

import schemathesis
from django.conf import settings as site
from django.core.cache import cache
from django.core.signals import request_finished, request_started
from django.core.wsgi import get_wsgi_application
from django.db import close_old_connections, transaction
from django.test import Client
from hypothesis import HealthCheck, Phase, given, seed, settings
from hypothesis import strategies as st
from schemathesis import GenerationMode
from schemathesis.checks import not_a_server_error
from schemathesis.core.failures import Failure, FailureGroup
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from .rows import Row

ROLES = ("out", "other club", "own", "captain", "secretary")
CHECKS = [
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_schema_conformance,
]
TOKEN = "t" * 32
#: What any address may answer: the problem that every operation describes as its default.
ANYWHERE = {405, 406}


@dataclass(slots=True)
class Asked:
    """How often each status was answered, and by operation and fault the first request that
    showed it."""

    statuses: Counter[int] = field(default_factory=Counter)
    faults: dict[tuple[str, str], str] = field(default_factory=dict)

    @property
    def requests(self) -> int:
        return sum(self.statuses.values())


def api_ask(rows: Any, *, each: int, start: int = 0) -> Asked:
    """Ask every operation `each` times, half of it in ways that its description rules out."""
    warnings.filterwarnings("ignore", module="schemathesis")
    for signal in (request_started, request_finished):  # the transaction is ours
        signal.disconnect(close_old_connections)
    try:
        return _all_ask(rows, each=each, start=start)
    finally:
        for signal in (request_started, request_finished):
            signal.connect(close_old_connections)


def _all_ask(rows: Any, *, each: int, start: int) -> Asked:
    schema = schemathesis.openapi.from_wsgi("/api/v1/schema", get_wsgi_application())
    cookies = {who: _cookie(rows.people[who]) for who in ROLES}
    asked = Asked()
    for number, found in enumerate(schema.get_all_operations()):
        _operation_ask(found.ok(), rows.known, cookies, asked, each=each, start=start + number)
    return asked


def asked_try(rows: Any, *, on: str, short: bool) -> list[Row]:
    asked = api_ask(rows, each=8 if short else 240)
    for (where, words), shown in asked.faults.items():
        print(f"{where}: {words}\n{shown}", file=sys.stderr)
    said = ", ".join(f"{n:,} × {status}" for status, n in sorted(asked.statuses.items()))
    faults = "; ".join(f"{where}: {words}" for where, words in asked.faults)
    return [
        Row(
            f"the API asked by its own description, {len(ROLES)} roles",
            on,
            faults[:600] or f"{asked.requests:,} requests ({said})",
            "no 5xx, every answer as described",
            not asked.faults,
        )
    ]


def _operation_ask(
    operation: Any,
    known: dict[str, Any],
    cookies: dict[str, str],
    asked: Asked,
    *,
    each: int,
    start: int,
) -> None:
    right = operation.as_strategy(generation_mode=GenerationMode.POSITIVE)
    try:
        wrong = operation.as_strategy(generation_mode=GenerationMode.NEGATIVE)
    except Exception:  # noqa: BLE001 - nothing about it can be wrong
        wrong = right

    def ask(case: Any, who: str, at_home: bool) -> None:
        if at_home:  # an address of what is there, by who is signed in: made up, it is never
            case.headers.pop("Authorization", None)
            case.path_parameters |= {
                name: _plain(known[name]) for name in case.path_parameters if name in known
            }
        _case_ask(case, cookies[who], asked)

    quiet = settings(
        max_examples=each,
        database=None,
        deadline=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    given_all = given(
        case=st.one_of(right, wrong), who=st.sampled_from(ROLES), at_home=st.booleans()
    )
    seed(start)(quiet(given_all(ask)))()


def _case_ask(case: Any, cookie: str, asked: Asked) -> None:
    cache.clear()  # or the throttle answers all of it
    headers = {"X-CSRFToken": TOKEN, "Host": "localhost", "Accept-Encoding": "identity"}
    cookies = {site.CSRF_COOKIE_NAME: TOKEN, site.SESSION_COOKIE_NAME: cookie}
    with transaction.atomic():
        response = case.call(headers=headers, cookies=cookies)
        transaction.set_rollback(True)
    asked.statuses[response.status_code] += 1
    where = f"{case.operation.method.upper()} {case.operation.path}"
    named = set(case.operation.definition.raw["responses"])
    if str(response.status_code) not in named and response.status_code not in ANYWHERE:
        asked.faults.setdefault((where, f"{response.status_code} is not described"), _shown(case))
    try:
        case.validate_response(response, checks=CHECKS)
    except FailureGroup as group:
        for failure in group.exceptions:
            words = (
                f"{response.status_code}: {failure.title}" if isinstance(failure, Failure) else ""
            )
            asked.faults.setdefault(
                (where, words or repr(failure)), f"{failure!s:.600}\n{_shown(case)}"
            )


def _shown(case: Any) -> str:
    return f"{case.path_parameters} {case.query} {case.body!r:.300}"


def _cookie(person: Any) -> str:
    if person is None:
        return ""
    client = Client()
    client.force_login(person)
    return client.cookies[site.SESSION_COOKIE_NAME].value


def _plain(value: Any) -> Any:
    """As schemathesis takes it: a UUID in its letters."""
    return value if isinstance(value, int) else str(value)
