"""The API's page for people: every operation, from the description alone."""

from __future__ import annotations

import pytest
from django.test import Client

from web.api_page import operations_shown

pytestmark = pytest.mark.django_db


def test_anybody_reads_every_operation_with_its_examples_on_one_page() -> None:
    page = Client(HTTP_HOST="localhost").get("/api/").content.decode()
    shown = [operation for each in operations_shown().values() for operation in each]
    assert len(shown) > 40
    for operation in shown:
        assert f'id="{operation.key}"' in page
        assert operation.path in page
        assert operation.answers[0][0] in ("200", "201", "202") and operation.answers[0][1]
    assert "A token needs <code>results:read</code>." in page
    assert "`" not in page
    assert "&quot;bulletins&quot;" in page
