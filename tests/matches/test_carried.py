"""What a phone signs, and whether a signature fits: the same bytes in both languages."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from matches.reckon.canonical import canonical_json
from matches.reckon.carried import carried_message
from matches.writes.facts.canonical import fact_digest
from matches.writes.facts.shape import FactReading, fact_read
from matches.writes.facts.signatures import is_public_key, signature_fits

CASES = json.loads(
    (Path(__file__).parents[1] / "cases" / "carried.json").read_text(encoding="utf-8")
)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["why"])
def test_the_bytes_signed_and_whether_they_fit_are_as_written(case: dict[str, Any]) -> None:
    reading = FactReading()
    fact = fact_read(case["fact"], reading=reading)
    assert reading.faults == []
    assert canonical_json(fact.as_json()).decode() == case["canonical"]
    message = carried_message(
        fact=fact.id,
        device=fact.device,
        person=int(case["person"]),
        digest=fact_digest(fact.as_json()),
    )
    assert message.decode() == case["message"]
    fits = signature_fits(case["key"], signature=case["signature"], message=message)
    assert fits is case["fits"]


def test_only_a_point_of_the_curve_written_in_the_one_way_is_a_key() -> None:
    key = CASES[0]["key"]
    assert is_public_key(key)
    off_curve = key[:-2] + ("AA" if key[-2:] != "AA" else "BA")
    for other in (off_curve, key + "=", key[:-1], "", "é" * 87, "A" * 87, f"{key[:-1]}!"):
        assert not is_public_key(other), other


def test_a_key_that_is_none_fits_nothing() -> None:
    case = CASES[0]
    message = case["message"].encode()
    assert not signature_fits("", signature=case["signature"], message=message)
    assert not signature_fits(case["key"], signature=f"{case['signature']}=", message=message)
