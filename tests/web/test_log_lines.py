"""Lines for machines: whole JSON, tied together by one id, and nothing personal in them."""

from __future__ import annotations

import io
import json
import logging
from collections.abc import Iterator
from typing import Any

import pytest
from celery import shared_task
from django.conf import settings as site
from django.test import Client

from web.running.doing import request_id
from web.running.log_lines import JsonLines, TextLines
from web.running.tasks_watched import id_send, logs_form, task_begin, task_end

HEADER = "X-Request-ID"


@pytest.fixture
def lines() -> Iterator[Any]:
    """What is logged meanwhile, read back line by line."""
    written = io.StringIO()
    handler = logging.StreamHandler(written)
    handler.setFormatter(JsonLines())
    root = logging.getLogger()
    level = root.level
    root.addHandler(handler)
    root.setLevel(logging.INFO)
    yield lambda: [json.loads(line) for line in written.getvalue().splitlines()]
    root.removeHandler(handler)
    root.setLevel(level)


def test_request_is_one_line_with_what_machines_ask_for(lines: Any) -> None:
    answer = Client(HTTP_HOST="localhost").get("/healthz?token=swordfish")
    (line,) = [one for one in lines() if one["logger"] == "drawbag.requests"]
    assert line["route"] == "health" and line["method"] == "GET" and line["status"] == 200
    assert 0 <= line["duration_s"] < 60 and line["level"] == "INFO"
    assert line["time"].endswith("Z") and len(line["time"]) == len("2026-06-20T13:05:11.250Z")
    assert line["request_id"] == answer[HEADER]
    assert "swordfish" not in json.dumps(lines())


@pytest.mark.parametrize(
    ("behind", "given", "kept"),
    [
        (True, "a-proxy.gave_it-0042", True),
        (True, "short", False),
        (True, "x" * 65, False),
        (True, 'quote"and\ttab and more', False),
        (False, "a-stranger-gave-it", False),
    ],
)
def test_id_is_taken_from_our_own_proxy_alone_and_only_if_plain(
    settings: Any, behind: bool, given: str, kept: bool
) -> None:
    settings.BEHIND_PROXY = behind
    answer = Client(HTTP_HOST="localhost").get("/healthz", headers={HEADER: given})
    assert (answer[HEADER] == given) is kept
    assert kept or len(answer[HEADER]) == 32
    assert request_id.get() == ""


def test_every_request_has_an_id_of_its_own() -> None:
    client = Client(HTTP_HOST="localhost")
    assert len({client.get("/healthz")[HEADER] for _ in range(5)}) == 5


def test_exception_is_told_by_kind_and_place_without_its_words(lines: Any) -> None:
    try:
        raise ValueError("wilmot@club.example is taken")
    except ValueError:
        logging.getLogger("x").exception("Not stored: /join/%s?code=x", "swordfish")
    (line,) = lines()
    assert line["exception"] == "ValueError"
    assert line["raised"][-1].endswith(
        test_exception_is_told_by_kind_and_place_without_its_words.__name__
    )
    assert line["message"] == "Not stored: /join/…?…"
    assert "wilmot" not in json.dumps(line)


@pytest.mark.parametrize(
    "written", [JsonLines(), TextLines(), TextLines(logging.Formatter("%(name)s: %(message)s"))]
)
def test_neither_form_tells_what_an_exception_says(written: logging.Formatter) -> None:
    """A failed task's message too, which holds it as Celery words it."""
    try:
        raise ValueError("wilmot@club.example is taken")
    except ValueError as error:
        logger = logging.Logger("x")
        shown = io.StringIO()
        logger.addHandler(logging.StreamHandler(shown))
        logger.handlers[0].setFormatter(written)
        logger.exception("Not stored")
        told = {"name": "tests.fails", "exc": repr(error)}
        logger.error("Task %(name)s raised unexpected: %(exc)s", told, exc_info=True)
    said = shown.getvalue()
    assert "wilmot" not in said
    assert said.count("ValueError") == 3
    assert said.count(f"{__file__}:") == 2
    assert "Task tests.fails raised unexpected: ValueError" in said


def test_the_site_writes_text_so_by_itself() -> None:
    made: Any = site.LOGGING["formatters"]
    assert site.DEBUG or made["text"]["()"] == "web.running.log_lines.TextLines"


def test_only_known_fields_are_written_whatever_a_record_carries(lines: Any) -> None:
    logging.getLogger("x").info("two\nlines", extra={"person": "Wilmot", "status": 204})
    (line,) = lines()
    assert line.keys() == {"time", "level", "logger", "message", "status"}
    assert line["message"] == "two\nlines"


@shared_task(name="tests.known_as")  # type: ignore[untyped-decorator]
def known_as() -> str:
    return request_id.get()


def test_task_logs_under_the_id_of_the_request_that_asked_for_it(lines: Any) -> None:
    token = request_id.set("the-request-of-before")
    headers: dict[str, Any] = {}
    id_send(headers=headers)
    request_id.reset(token)
    known_as.push_request(**headers)
    try:
        task_begin(task_id="1", task=known_as)
        assert known_as.run() == "the-request-of-before"
        task_end(task_id="1", task=known_as, state="SUCCESS")
    finally:
        known_as.pop_request()
    (line,) = [one for one in lines() if one["logger"] == "drawbag.tasks"]
    assert line["request_id"] == "the-request-of-before"
    assert (line["task"], line["result"]) == ("tests.known_as", "done")
    assert request_id.get() == ""


@pytest.mark.parametrize(("form", "json_lines"), [("json", True), ("text", False)])
def test_handlers_that_celery_makes_write_as_ours_do(
    settings: Any, form: str, json_lines: bool
) -> None:
    settings.LOG_FORMAT = form
    logger = logging.Logger("of celery")
    logger.addHandler(logging.StreamHandler())
    logs_form(logger=logger)
    assert isinstance(logger.handlers[0].formatter, JsonLines if json_lines else TextLines)
