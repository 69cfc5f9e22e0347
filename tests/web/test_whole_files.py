"""The broker without a server: no worker ever sees half a message."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from queue import Empty
from threading import Thread
from typing import Any

import pytest
from kombu.connection import Connection

from web.celery import app
from web.whole_files import Transport

MESSAGES = 400


@pytest.fixture
def channel(tmp_path: Path) -> Iterator[Any]:
    folders = {
        "data_folder_in": str(tmp_path),
        "data_folder_out": str(tmp_path),
        "control_folder": str(tmp_path / "control"),
    }
    with Connection("filesystem://localhost", transport_options=folders) as connection:
        yield connection.channel()


def test_the_usual_address_leads_to_whole_files(channel: Any) -> None:
    assert isinstance(channel.connection, Transport)
    assert isinstance(app.connection_for_write("filesystem://localhost").transport, Transport)


def test_messages_come_in_the_order_they_went_and_leave_no_file(
    channel: Any, tmp_path: Path
) -> None:
    for n in range(3):
        channel._put("orders", {"n": n})
    assert channel._size("orders") == 3
    assert [channel._get("orders")["n"] for _ in range(3)] == [0, 1, 2]
    with pytest.raises(Empty):
        channel._get("orders")
    assert [p for p in tmp_path.iterdir() if p.is_file()] == []


def test_a_message_still_being_written_is_not_there_yet(channel: Any, tmp_path: Path) -> None:
    (tmp_path / "00000000000000000001_x.orders.msg.part").touch()
    assert channel._size("orders") == 0
    with pytest.raises(Empty):
        channel._get("orders")


def test_readers_that_never_rest_take_each_message_once_and_whole(channel: Any) -> None:
    got: list[int] = []
    faults: list[Exception] = []

    def take() -> None:
        while len(got) < MESSAGES and not faults:
            try:
                got.append(channel._get("orders")["n"])
            except Empty:
                continue
            except ValueError as fault:
                faults.append(fault)

    readers = [Thread(target=take) for _ in range(2)]
    for reader in readers:
        reader.start()
    for n in range(MESSAGES):
        channel._put("orders", {"n": n, "text": "x" * 5000})
    for reader in readers:
        reader.join(timeout=30)
    assert faults == []
    assert sorted(got) == list(range(MESSAGES))


def test_an_exchange_being_written_for_the_first_time_feeds_nobody_yet(
    channel: Any, tmp_path: Path
) -> None:
    control = tmp_path / "control"
    control.mkdir()
    (control / "drawbag.exchange").touch()
    assert channel.get_table("drawbag") == []
