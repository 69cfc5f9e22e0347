"""What became of one fact that was handed in."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Any
from uuid import UUID

from matches.problems import Problem


class Verdict(StrEnum):
    """What the phone is told of one fact, and so what it does with its own copy."""

    ACCEPTED = "accepted"
    DUPLICATE = "duplicate"
    CLASH = "clash"
    DISAGREES = "disagrees"
    WAITING = "waiting"
    REFUSED = "refused"
    LATER = "later"


@dataclass(frozen=True, slots=True)
class Rival:
    """A stored fact that cannot stand beside the one handed in, and who logged it."""

    fact: UUID
    author: str
    kind: str

    def as_json(self) -> dict[str, Any]:
        return {"fact": str(self.fact), "author": self.author, "kind": self.kind}


@dataclass(frozen=True, slots=True)
class Outcome:
    """One verdict, in the order the facts were handed in.

    `id` is the fact's id as it was written (None when it had none that can be read).
    `cseq` is the club's number of the stored fact; `after` is seconds to wait.
    Pointers in `problem` point into the fact itself.
    """

    id: str | None
    verdict: Verdict
    cseq: int | None = None
    rivals: tuple[Rival, ...] = ()
    problem: Problem | None = None
    after: int | None = None

    @property
    def stored(self) -> bool:
        """Whether the fact is on the server, now or from before."""
        return self.cseq is not None
