"""A worker's tasks: timed and counted, their logs tied to the request that asked for them."""

from __future__ import annotations

import logging
import time
from contextvars import Token
from typing import Any, Final

from celery.signals import (
    after_setup_logger,
    after_setup_task_logger,
    before_task_publish,
    task_postrun,
    task_prerun,
)
from django.conf import settings

from web.log_secrets import SecretsHidden

from .doing import request_id, request_id_take
from .log_lines import JsonLines, TextLines

#: Under this name in a message's headers.
CARRIED: Final = "request_id"
RESULTS: Final = {"SUCCESS": "done", "FAILURE": "failed", "RETRY": "again"}
log = logging.getLogger("drawbag.tasks")
_begun: dict[str, tuple[float, Token[str]]] = {}


@before_task_publish.connect  # type: ignore[untyped-decorator]
def id_send(headers: dict[str, Any] | None = None, **_given: Any) -> None:
    """The message tells which request it came from."""
    if headers is not None and request_id.get():
        headers[CARRIED] = request_id.get()


@task_prerun.connect  # type: ignore[untyped-decorator]
def task_begin(task_id: str, task: Any, **_given: Any) -> None:
    """It takes over the id of who asked for it, or has one of its own."""
    token = request_id.set(request_id_take(str(task.request.get(CARRIED) or "")))
    _begun[task_id] = time.perf_counter(), token


@task_postrun.connect  # type: ignore[untyped-decorator]
def task_end(task_id: str, task: Any, state: str | None = None, **_given: Any) -> None:
    """Count it, under a result of a fixed list."""
    from . import meters  # not before the worker said where it counts

    began, token = _begun.pop(task_id)
    took = time.perf_counter() - began
    result = RESULTS.get(state or "", "other")
    meters.TASKS.labels(task.name, result).inc()
    meters.TASK_SPENT.labels(task.name).observe(took)
    known = {"task": task.name, "result": result, "duration_s": round(took, 6)}
    log.info("%s %s in %.3f s", task.name, result, took, extra=known)
    request_id.reset(token)


@after_setup_logger.connect  # type: ignore[untyped-decorator]
@after_setup_task_logger.connect  # type: ignore[untyped-decorator]
def logs_form(logger: logging.Logger, **_given: Any) -> None:
    """Celery makes handlers of its own: they write as ours do."""
    for handler in logger.handlers:
        handler.addFilter(SecretsHidden())
        if settings.LOG_FORMAT == "json":
            handler.setFormatter(JsonLines())
        elif not settings.DEBUG:
            handler.setFormatter(TextLines(handler.formatter))
