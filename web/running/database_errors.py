"""Counting statements that the database did not carry out."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

from django.db import OperationalError
from django.db.backends.base.base import BaseDatabaseWrapper

#: Deadlock, lock not to be had, serialization: PostgreSQL's manual, appendix A (error codes).
BUSY_STATES: Final = frozenset({"40P01", "55P03", "40001"})


def errors_watch(connection: BaseDatabaseWrapper, **_given: Any) -> None:
    """Have this new connection count; a connection opened anew keeps what it was given."""
    if _counted not in connection.execute_wrappers:
        connection.execute_wrappers.append(_counted)


def _counted(
    execute: Callable[..., Any], sql: str, params: Any, many: bool, context: dict[str, Any]
) -> Any:
    try:
        return execute(sql, params, many, context)
    except OperationalError as error:
        from . import meters  # not before this process said where it counts

        meters.DATABASE_ERRORS.labels("busy" if _busy(error) else "other").inc()
        raise


def _busy(error: OperationalError) -> bool:
    state = getattr(error.__cause__, "sqlstate", None)
    return state in BUSY_STATES or "locked" in str(error)
