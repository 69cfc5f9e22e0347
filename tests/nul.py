"""A character that PostgreSQL refuses, and that none of it reaches a database."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

from django.db import connection

NUL = "a\x00b"


@contextmanager
def no_nul_asked() -> Iterator[None]:
    """No statement carries it."""

    def look(execute: Callable[..., Any], sql: str, params: Any, many: bool, context: Any) -> Any:
        assert "\\x00" not in repr(params), sql
        assert "\\u0000" not in repr(params), sql
        return execute(sql, params, many, context)

    with connection.execute_wrapper(look):
        yield
