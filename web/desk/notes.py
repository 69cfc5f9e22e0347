"""Everything a person logged, as files to take away."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any, Final

from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse, StreamingHttpResponse
from django.views.decorators.http import require_safe

from matches.reads.own_facts import facts_logged, logged_json
from web.csv_files import csv_file
from web.people import person_of

FIXED: Final = (
    *("id", "club", "match", "date", "venue", "peg", "kind", "at", "minute"),
    *("in_force", "supersedes"),
)
#: What bodies hold that fits a cell; whatever else there is stands whole in the last column.
PLAIN: Final = (
    *("line", "bait", "amount", "unit", "stage", "species", "size", "count", "weight", "about"),
    *("net", "witness", "depth_cm", "rig_settles_cm", "rig_settles_ms", "celsius_tenths"),
    *("jar_cm", "ms", "floats", "ball_mm", "upstream_cm", "out_cm", "rod_cm"),
    *("snags", "note", "signal", "why"),
)


@login_required
@require_safe
def notes_csv(request: HttpRequest) -> HttpResponse:
    """One row a fact, one column a thing noted."""
    rows = (_row(logged_json(logged)) for logged in facts_logged(person_of(request)))
    head = [*FIXED, *PLAIN, "body"]
    return csv_file(
        (row for part in ([head], rows) for row in part),
        disposition='attachment; filename="my-notes.csv"',
    )


@login_required
@require_safe
def notes_json(request: HttpRequest) -> StreamingHttpResponse:
    """A list of facts, each with its body as it was logged."""
    response = StreamingHttpResponse(
        _json_parts(request), content_type="application/json; charset=utf-8"
    )
    response["Content-Disposition"] = 'attachment; filename="my-notes.json"'
    return response


def _row(fact: dict[str, Any]) -> list[Any]:
    body = fact["body"] if isinstance(fact["body"], dict) else {}
    rest = {key: value for key, value in body.items() if key not in PLAIN}
    plain = [_cell(body.get(key)) for key in PLAIN]
    return [*(_cell(fact[key]) for key in FIXED), *plain, json.dumps(rest) if rest else ""]


def _cell(value: Any) -> Any:
    """True and false as everything else reads them."""
    return str(value).lower() if isinstance(value, bool) else value


def _json_parts(request: HttpRequest) -> Iterator[str]:
    yield "["
    for n, logged in enumerate(facts_logged(person_of(request))):
        yield (",\n" if n else "\n") + json.dumps(logged_json(logged), ensure_ascii=False)
    yield "\n]\n"
