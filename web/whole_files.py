"""Celery's messages as files of one machine, each whole before a worker can see it.

kombu's own file transport writes a message inside the folder it is read from: a worker that looks
in between takes an empty file and ends. Here a message gets its name once it is written, and a
worker takes it by renaming it, so that of several only one does.
"""

from __future__ import annotations

from pathlib import Path
from queue import Empty
from time import monotonic_ns
from typing import Any
from uuid import uuid4

from kombu.transport import filesystem
from kombu.utils.json import dumps, loads


class Channel(filesystem.Channel):
    """Messages are `<when>_<id>.<queue>.msg`; any other ending is no message yet, or no more."""

    def _put(self, queue: str, payload: Any, **kwargs: Any) -> None:  # type: ignore[override]
        name = Path(self.data_folder_out) / f"{monotonic_ns():020d}_{uuid4()}.{queue}.msg"
        part = name.with_name(f"{name.name}.part")
        text: str = dumps(payload)  # type: ignore[no-untyped-call]
        part.write_text(text, encoding="utf-8")
        part.rename(name)

    def _get(self, queue: str, timeout: float | None = None) -> Any:
        """The oldest message of the queue. Raises Empty."""
        for found in sorted(Path(self.data_folder_in).glob(f"*.{queue}.msg")):
            if found.name.partition(".")[2] != f"{queue}.msg":  # a queue with a longer name
                continue
            taken = found.with_name(f"{found.name}.taken")
            try:
                found.rename(taken)
            except FileNotFoundError:  # another worker was first
                continue
            text = taken.read_text(encoding="utf-8")
            taken.unlink()
            return loads(text)  # type: ignore[no-untyped-call]
        raise Empty

    def get_table(self, exchange: str) -> Any:
        """Which queues an exchange feeds; none while another process first writes that down.

        What is not delivered so is not lost: the sweeper asks for the row's work again.
        """
        try:
            return super().get_table(exchange)  # type: ignore[no-untyped-call]
        except ValueError:
            return []


class Transport(filesystem.Transport):
    Channel = Channel
