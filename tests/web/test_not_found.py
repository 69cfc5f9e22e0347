"""An address that stands for nothing is answered in the form of its neighbours."""

from __future__ import annotations

import pytest
from django.test import Client

API = (
    *("nothing", "matches/-1", "matches/1/nothing"),
    *("work/no-uuid", "teams/99999999999999999999/season"),
)


@pytest.mark.parametrize("rest", API)
def test_under_the_api_it_is_a_problem_in_json(db: None, rest: str) -> None:
    answer = Client().get(f"/api/v1/{rest}")
    assert answer["Content-Type"] == "application/problem+json"
    assert answer.json()["type"] in ("/problems/not-found", "/problems/sign-in")
    assert answer.json()["status"] == answer.status_code


def test_elsewhere_it_is_a_page(db: None) -> None:
    answer = Client().get("/nothing/")
    assert answer.status_code == 404
    assert answer["Content-Type"].startswith("text/html")
