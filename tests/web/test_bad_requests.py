"""Requests no app of ours sends: refused in words, nothing lost, nothing written."""

from __future__ import annotations

import csv
import gzip
import io
import json
import zipfile
from typing import Any
from uuid import UUID

import pytest
from django.template import Template

from matches.models import Angler, Fact, Match
from tests.addresses import addresses
from tests.clients import served
from tests.rights_rows import rows_make
from web.csv_files import FORMULA_STARTS

URL = "/api/v1/sync/facts"
JSON = "application/json"
DEVICE = str(UUID(int=7))


def fact(match: int, **given: Any) -> dict[str, Any]:
    return {
        "id": str(UUID(int=1)),
        "device": DEVICE,
        "seq": 1,
        "kind": "peg_note",
        "match": str(match),
        "peg": "1",
        "recorded_at": "2026-06-20T13:05:11.250Z",
        "body": {"note": "deep"},
    } | given


def push(*facts: Any) -> bytes:
    return json.dumps({"protocol": 1, "device": DEVICE, "facts": list(facts)}).encode()


def zipped(body: bytes) -> bytes:
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("facts.json", body)
    return file.getvalue()


GOOD = b'{"protocol":1,"device":"%s","facts":[]}' % DEVICE.encode()
BODIES: dict[str, tuple[bytes, dict[str, str], int]] = {
    "a zip for gzip": (zipped(GOOD), {"content-encoding": "gzip"}, 400),
    "gzip twice": (gzip.compress(gzip.compress(GOOD)), {"content-encoding": "gzip"}, 400),
    "gzip and more behind": (gzip.compress(GOOD) + b"x", {"content-encoding": "gzip"}, 400),
    "a bomb": (gzip.compress(b" " * 2**24), {"content-encoding": "gzip"}, 413),
    "another packing": (GOOD, {"content-encoding": "br"}, 415),
    "two packings": (gzip.compress(GOOD), {"content-encoding": "gzip, gzip"}, 415),
    "no JSON": (b"\xff\xfe{}", {}, 400),
    "a mark before it": (b"\xef\xbb\xbf" + GOOD, {}, 400),
    "a number without end": (GOOD.replace(b":1,", b":1" + b"0" * 5_000 + b","), {}, 400),
    "a number beyond all": (GOOD.replace(b":1,", b":1e400,"), {}, 400),
    "no number": (GOOD.replace(b":1,", b":NaN,"), {}, 400),
    "one as a fraction": (GOOD.replace(b":1,", b":1.0,"), {}, 400),
    "true for one": (GOOD.replace(b":1,", b":true,"), {}, 400),
    "a key twice": (GOOD.replace(b":1,", b':1,"protocol":1,'), {}, 400),
    "nested without end": (b'{"facts":' + b"[" * 20_000 + b"]" * 20_000 + b"}", {}, 400),
    "a list": (b"[]", {}, 400),
    "nothing": (b"", {}, 400),
}


@pytest.mark.parametrize("name", BODIES)
def test_a_body_of_the_wrong_sort_is_refused_in_words(world: Any, name: str) -> None:
    body, headers, status = BODIES[name]
    answer = served(world.member).post(URL, body, content_type=JSON, headers=headers)
    assert answer.status_code == status
    assert answer["Content-Type"] == "application/problem+json"
    assert answer.json()["detail"]
    assert not Fact.objects.exists()


@pytest.mark.parametrize(
    "kind", ["text/plain", "application/xml", "multipart/form-data", "", "application/x-ndjson"]
)
def test_another_content_type_is_refused(world: Any, kind: str) -> None:
    answer = served(world.member).generic("POST", URL, push(fact(world.match.pk)), kind)
    assert answer.status_code in (400, 415)
    assert answer["Content-Type"] == "application/problem+json"
    assert not Fact.objects.exists()


@pytest.mark.parametrize("name", ["x-http-method-override", "x-method-override", "x-http-method"])
def test_no_header_and_no_field_turns_one_verb_into_another(world: Any, name: str) -> None:
    client = served(world.member)
    for method in ("DELETE", "PUT"):
        answer = client.post("/api/v1/sync/keys/1", b"{}", JSON, headers={name: method})
        assert answer.status_code == 405
        assert (
            client.post("/api/v1/sync/keys/1?_method=DELETE", {"_method": method}).status_code
            == 405
        )


def test_a_header_of_sixty_thousand_letters_is_no_harm(world: Any) -> None:
    headers = {"accept-language": "x," * 30_000, "if-none-match": '"a",' * 15_000}
    answer = served(world.member).get(f"/api/v1/sync/match/{world.match.pk}", headers=headers)
    assert answer.status_code == 200


def test_a_fact_that_names_what_is_another_clubs_is_refused_as_what_never_was(world: Any) -> None:
    theirs = Match.objects.get(pk=world.match.pk)
    theirs.pk, theirs.club, theirs.slug = None, world.other_club, "theirs"
    theirs.save()
    client = served(world.member)
    details = []
    for n, match in enumerate((theirs.pk, 10**17), 1):
        one = fact(match, id=str(UUID(int=n)), seq=n)
        (outcome,) = client.post(URL, push(one), content_type=JSON).json()["outcomes"]
        assert outcome["outcome"] == "refused"
        details.append(outcome["problem"])
    assert details[0] == details[1]
    assert not Fact.objects.exists()


def test_anothers_fact_sent_again_is_neither_theirs_nor_changed(world: Any) -> None:
    served(world.member).post(URL, push(fact(world.match.pk)), content_type=JSON)
    for body in ({"note": "deep"}, {"note": "shallow"}):
        again = push(fact(world.match.pk, body=body))
        answer = served(world.rival).post(URL, again, content_type=JSON)
        assert answer.json()["outcomes"][0]["outcome"] == "clash"
    kept = Fact.objects.get()
    assert (kept.author_id, kept.body) == (world.member.pk, {"note": "deep"})


@pytest.mark.parametrize(
    "path",
    [
        "/static/../web/settings.py",
        "/static/%2e%2e/%2e%2e/etc/passwd",
        "/bank/../../manage.py",
        "/board/otterbeck/june-open/1/..%2f..%2fsecret_key",
        "/board/otterbeck/%00/",
        "/desk/imports/../../admin/",
    ],
)
def test_no_path_leads_out_of_the_site(world: Any, path: str) -> None:
    answer = served(world.secretary).get(path)
    assert answer.status_code in (400, 404), path


FORMULAS = ['=HYPERLINK("http://x")', "+1+1", "-2", "@SUM(A1)", "\t=1", "＝1+1"]


def test_no_cell_of_any_list_is_run_by_a_spreadsheet(
    db: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every address that answers with CSV, found by asking all of them."""
    monkeypatch.setattr(Template, "render", lambda *_: "")  # pages are no lists
    rows = rows_make()
    for n, angler in enumerate(Angler.objects.all()):
        angler.name = FORMULAS[n % len(FORMULAS)]
        angler.save()
    lists = 0
    for who in ("secretary", "captain", "own"):
        client = served(rows.people[who])
        for _name, address in addresses(rows.known):
            answer = client.get(address)
            if not answer.get("Content-Type", "").startswith("text/csv"):
                continue
            lists += 1
            text = b"".join(answer).decode("utf-8-sig")
            for row in csv.reader(io.StringIO(text)):
                for cell in row:
                    assert not cell.lstrip(" ").startswith(FORMULA_STARTS), (address, cell)
    assert lists >= 10
