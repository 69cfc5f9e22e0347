"""Formats checked against the documents that define them."""

from __future__ import annotations

import json
import uuid
from typing import Any

import pytest
from django.test import Client

from matches.problems import Code
from matches.reckon.errors import pointer
from matches.writes.facts.ids import uuid7_new
from matches.writes.facts.shape import FactReading
from web.problem_details import CONTENT_TYPE, problem_body

# RFC 9562, appendix A.6, "Example of a UUIDv7 Value": unix_ts_ms 0x017F22E279B0 (22 February 2022,
# 14:22:22.00 at UTC-05:00), rand_a 0xCC3, rand_b 0b01 and 0x8C4DC0C0C07398F.
V7_TEXT = "017F22E2-79B0-7CC3-98C4-DC0C0C07398F"
V7_MS = 0x017F22E279B0
V7_RANDOM = 0xCC3 << 62 | 0b01 << 60 | 0x8C4DC0C0C07398F


def test_the_example_uuid_of_version_7_is_read_whatever_its_case() -> None:
    for text in (V7_TEXT, V7_TEXT.lower()):
        reading = FactReading()
        read = reading.read_uuid(text, ("id",))
        assert reading.faults == []
        assert (read.version, read.variant) == (7, uuid.RFC_4122)
        assert read.int >> 80 == V7_MS == 1_645_557_742_000


def test_the_example_uuid_of_version_7_is_made_from_its_parts() -> None:
    assert uuid7_new(unix_ms=V7_MS, random_bits=V7_RANDOM) == uuid.UUID(V7_TEXT)


@pytest.mark.parametrize("ms", [0, V7_MS, 2**48 - 1])
@pytest.mark.parametrize("chance", [0, 1, 2**62, 2**74 - 1])
def test_version_and_variant_stay_whatever_the_parts(ms: int, chance: int) -> None:
    """RFC 9562, section 5.7: ver = 0b0111, var = 0b10."""
    made = uuid7_new(unix_ms=ms, random_bits=chance)
    assert (made.version, made.variant, made.int >> 80) == (7, uuid.RFC_4122, ms)


def test_later_milliseconds_make_larger_ids() -> None:
    """RFC 9562, section 6.11: version 7 sorts by time as plain bytes."""
    made = [uuid7_new(unix_ms=ms) for ms in range(V7_MS, V7_MS + 50)]
    assert made == sorted(made)


# RFC 6901, section 5: the keys of the example document and the pointers to their values.
POINTERS = [
    ((), ""),
    (("foo",), "/foo"),
    (("foo", 0), "/foo/0"),
    (("",), "/"),
    (("a/b",), "/a~1b"),
    (("c%d",), "/c%d"),
    (("e^f",), "/e^f"),
    (("g|h",), "/g|h"),
    (("i\\j",), "/i\\j"),
    (('k"l',), '/k"l'),
    ((" ",), "/ "),
    (("m~n",), "/m~0n"),
]


@pytest.mark.parametrize(("parts", "text"), POINTERS)
def test_pointers_are_escaped_as_in_the_example(parts: tuple[str | int, ...], text: str) -> None:
    assert pointer(*parts) == text


def test_a_tilde_and_a_one_do_not_become_a_slash() -> None:
    """RFC 6901, section 4: "~01" must come to "~1", never to "/"."""
    assert pointer("~1") == "/~01"


def test_a_problem_has_the_members_of_the_document() -> None:
    """RFC 9457, section 3.1: type and title, status a number, detail a string; media type 6.1."""
    body = problem_body(Code.NOT_FOUND, "Look elsewhere.")
    assert set(body) == {"type", "title", "status", "detail"}
    assert [type(body[k]) for k in ("type", "title", "status", "detail")] == [str, str, int, str]
    assert CONTENT_TYPE == "application/problem+json"
    json.dumps(body)


def test_the_answers_status_is_the_problems_status(world: Any) -> None:
    """RFC 9457, section 3.1.2: generators MUST use the same status code in the HTTP response."""
    response = Client().get("/api/v1/me")
    assert response.status_code == response.json()["status"] == 401
    assert response["Content-Type"] == "application/problem+json"
