"""A crowd that pushes at once is let in a few at a time; the others are told when to come again."""

from __future__ import annotations

import json
from collections.abc import Callable
from threading import Thread
from typing import Any

import pytest
from django.core.handlers.wsgi import WSGIRequest
from django.http import HttpResponse, UnreadablePostError
from django.test import RequestFactory

from web import push_gate
from web.push_gate import FACTS_PATH, LONGEST_WAIT_S, PushGateMiddleware


class Clock:
    def __init__(self) -> None:
        self.now = 0.0

    def __call__(self) -> float:
        return self.now


class Room:
    """A gate whose view is busy as long as a push is inside: each lets in what `inside` asks."""

    def __init__(self) -> None:
        self.inside: Callable[[], Any] = lambda: None
        self.gate = PushGateMiddleware(self._view)

    def _view(self, _request: Any) -> HttpResponse:
        inside, self.inside = self.inside, lambda: None
        inside()
        return HttpResponse("in")

    def push(self, path: str = FACTS_PATH) -> Any:
        return self.gate(RequestFactory().post(path, b"{}", content_type="application/json"))


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Clock:
    clock = Clock()
    monkeypatch.setattr(push_gate, "monotonic", clock)
    return clock


@pytest.fixture
def room(settings: Any, clock: Clock, monkeypatch: pytest.MonkeyPatch) -> Room:
    settings.PUSHES_AT_ONCE = 1
    monkeypatch.setattr(push_gate, "WAITING_MOST", 0)
    return Room()


def test_a_second_phone_waits_at_the_gate_and_is_let_in_as_the_first_leaves(settings: Any) -> None:
    settings.PUSHES_AT_ONCE = 1
    room = Room()
    answers: list[Any] = []
    second = Thread(target=lambda: answers.append(room.push()))

    def while_the_second_waits() -> None:
        second.start()
        while not room.gate.waiting and second.is_alive():
            second.join(0.001)

    room.inside = while_the_second_waits
    answers.append(room.push())
    second.join(10)
    assert [answer.status_code for answer in answers] == [200, 200]


def test_who_waits_at_the_gate_for_long_is_told_a_turn(
    settings: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    settings.PUSHES_AT_ONCE = 1
    monkeypatch.setattr(push_gate, "WAITING_S", 0.01)
    room, told = Room(), []
    room.inside = lambda: told.append(room.push().status_code)
    room.push()
    assert (told, room.gate.waiting) == ([429], 0)


def test_who_comes_while_all_places_are_taken_is_asked_to_come_again(room: Room) -> None:
    told: list[Any] = []
    room.inside = lambda: told.append(room.push())
    assert room.push().status_code == 200
    (answer,) = told
    assert answer.status_code == 429
    assert answer["Content-Type"] == "application/problem+json"
    assert json.loads(answer.content)["type"] == "/problems/slow-down"
    assert int(answer["Retry-After"]) >= 1
    assert room.push().status_code == 200


def test_turns_are_as_far_apart_as_pushes_take(room: Room, clock: Clock) -> None:
    def two_seconds() -> None:
        clock.now += 2

    for _ in range(100):
        room.inside = two_seconds
        room.push()
    told: list[int] = []
    room.inside = lambda: told.extend(int(room.push()["Retry-After"]) for _ in range(100))
    room.push()
    assert told[:4] == [2, 4, 6, 8]
    assert told == sorted(told)
    assert max(told) == LONGEST_WAIT_S


def test_time_in_which_nobody_came_is_given_to_who_asks_next(room: Room, clock: Clock) -> None:
    def one_second() -> None:
        clock.now += 1

    for _ in range(100):
        room.inside = one_second
        room.push()
    told: list[int] = []

    def ask() -> None:
        told.append(int(room.push()["Retry-After"]))

    room.inside = lambda: [ask() for _ in range(40)]
    room.push()
    assert told[-1] == 40
    clock.now += 5
    room.inside = ask
    room.push()
    assert told[-1] == 40 + 1 - 5 - 5


def test_a_crowd_that_left_keeps_nobody_waiting(room: Room, clock: Clock) -> None:
    room.inside = lambda: [room.push() for _ in range(1_000)]
    room.push()
    assert room.push().status_code == 200
    clock.now += LONGEST_WAIT_S
    told: list[int] = []
    room.inside = lambda: told.append(int(room.push()["Retry-After"]))
    room.push()
    assert told == [1]


def test_a_push_that_fails_gives_its_place_back(room: Room) -> None:
    def fail() -> None:
        raise ZeroDivisionError

    room.inside = fail
    with pytest.raises(ZeroDivisionError):
        room.push()
    assert room.push().status_code == 200


def test_a_body_that_ends_early_takes_no_place(room: Room, monkeypatch: Any) -> None:
    def cut(_request: Any) -> bytes:
        raise UnreadablePostError("cut")

    with monkeypatch.context() as broken:
        broken.setattr(WSGIRequest, "body", property(cut))
        assert room.push().status_code == 400
    assert room.gate.inside == 0
    assert room.push().status_code == 200


def test_only_pushes_are_counted(room: Room) -> None:
    told: list[Any] = []
    room.inside = lambda: told.append(room.push("/api/v1/sync/keys"))
    assert room.push().status_code == 200
    assert told[0].status_code == 200


def test_the_site_has_the_gate_before_anything_is_looked_up(
    client: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No database here: a query would fail the test."""
    monkeypatch.setattr(PushGateMiddleware, "_enter", lambda _gate: 7)
    answer = client.post(FACTS_PATH, b"{}", content_type="application/json")
    assert (answer.status_code, answer["Retry-After"]) == (429, "7")
    assert "Content-Security-Policy" in answer
