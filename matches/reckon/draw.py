"""A draw of pegs that anyone can check, with a hash and a pencil.

The SHA-256 of a secret seed is published before the draw and the seed after it. Everything else
follows from the seed: whoever has the lists and the seed gets the same pegs. SHA-256 is that of
FIPS 180-4; the shuffle is that of Fisher and Yates; RFC 3797 is the habit it follows.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from hashlib import sha256
from typing import Any, Final, Literal, TypeVar, cast

from .reading import Reading, Where

Mode = Literal["open", "team"]
Item = TypeVar("Item")

MODES: Final = ("open", "team")
_SEED = re.compile(r"[0-9a-fA-F]{64}")
_RANGE: Final = 2**64

DRAW_EXAMPLE: Final[dict[str, Any]] = {
    "seed": "00" * 31 + "01",
    "anglers": [{"id": name, "team": None} for name in ("a", "b", "c", "d", "e")],
    "sections": [{"id": "A", "pegs": ["1", "2", "3", "4", "5"]}],
    "mode": "open",
}
DRAW_EXAMPLE_ANSWER: Final[dict[str, Any]] = {
    "commitment": "ec4916dd28fc4c10d78e287ca5d9cc51ee1ae73cbfde08c6b37324cbfaac8bc5",
    "assignments": [
        {"angler": "a", "section": "A", "peg": "1"},
        {"angler": "b", "section": "A", "peg": "2"},
        {"angler": "c", "section": "A", "peg": "4"},
        {"angler": "d", "section": "A", "peg": "5"},
        {"angler": "e", "section": "A", "peg": "3"},
    ],
}


@dataclass(frozen=True, slots=True)
class DrawAngler:
    """One angler in the draw; in a team draw everybody has a team."""

    id: str
    team: str | None = None


@dataclass(frozen=True, slots=True)
class DrawSection:
    """One section and its pegs in bank order."""

    id: str
    pegs: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class DrawRequest:
    """Who draws for which pegs. `seed` is 32 bytes."""

    seed: bytes
    anglers: tuple[DrawAngler, ...]
    sections: tuple[DrawSection, ...]
    mode: Mode


@dataclass(frozen=True, slots=True)
class Assignment:
    """The peg one angler has drawn."""

    angler: str
    section: str
    peg: str


@dataclass(frozen=True, slots=True)
class DrawAnswer:
    """The commitment (hexadecimal) and the pegs, sorted by angler id in UTF-8 bytes."""

    commitment: str
    assignments: tuple[Assignment, ...]

    def as_json(self) -> dict[str, object]:
        """The response of the API."""
        return {
            "commitment": self.commitment,
            "assignments": [
                {"angler": a.angler, "section": a.section, "peg": a.peg} for a in self.assignments
            ],
        }


def draw_commitment(seed: bytes) -> str:
    """What is published before the draw: the SHA-256 of the seed's bytes, in hexadecimal."""
    return sha256(seed).hexdigest()


def draw_stream(seed: bytes) -> Iterator[int]:
    """The numbers of a seed without end: for k = 0, 1, … the first 8 bytes of
    SHA-256(seed ‖ k as 8 bytes), all big-endian, so each from 0 to 2⁶⁴ − 1."""
    for k in range(_RANGE):
        yield int.from_bytes(sha256(seed + k.to_bytes(8, "big")).digest()[:8], "big")


def number_below(stream: Iterator[int], *, bound: int) -> int:
    """The next number from 0 to `bound` − 1, each equally likely.

    Numbers in the last, broken run of `bound` are skipped: taking them would favour the small.
    """
    whole_runs = _RANGE // bound * bound
    return next(u for u in stream if u < whole_runs) % bound


def shuffled(items: Iterable[Item], *, stream: Iterator[int]) -> list[Item]:
    """`items` in an order drawn from `stream` (Fisher–Yates, from the end)."""
    out = list(items)
    for i in range(len(out) - 1, 0, -1):
        j = number_below(stream, bound=i + 1)
        out[i], out[j] = out[j], out[i]
    return out


def draw_work_out(request: DrawRequest) -> DrawAnswer:
    """Draw the pegs. The order of anglers and sections in the request does not matter.

    The request is one that `draw_parse` lets through: see its refusals.
    """
    stream = draw_stream(request.seed)
    sections = sorted(request.sections, key=lambda s: s.id.encode())
    draw = _draw_open if request.mode == "open" else _draw_team
    drawn = draw(request.anglers, sections=sections, stream=stream)
    return DrawAnswer(
        commitment=draw_commitment(request.seed),
        assignments=tuple(sorted(drawn, key=lambda a: a.angler.encode())),
    )


def _draw_open(
    anglers: Iterable[DrawAngler], *, sections: Sequence[DrawSection], stream: Iterator[int]
) -> Iterator[Assignment]:
    """Angler n of the shuffled list takes peg n along the bank."""
    order = shuffled(_ids_sorted(a.id for a in anglers), stream=stream)
    pegs = ((section.id, peg) for section in sections for peg in section.pegs)
    for angler, (section, peg) in zip(order, pegs, strict=False):
        yield Assignment(angler, section, peg)


def _draw_team(
    anglers: Iterable[DrawAngler], *, sections: Sequence[DrawSection], stream: Iterator[int]
) -> Iterator[Assignment]:
    """One of each team to each section, then the pegs within each section."""
    of_section: list[list[str]] = [[] for _ in sections]
    members = _members(anglers)
    for team in _ids_sorted(members):
        for n, angler in enumerate(shuffled(_ids_sorted(members[team]), stream=stream)):
            of_section[n].append(angler)
    for section, ids in zip(sections, of_section, strict=True):
        for angler, peg in zip(
            shuffled(_ids_sorted(ids), stream=stream), section.pegs, strict=False
        ):
            yield Assignment(angler, section.id, peg)


def _ids_sorted(ids: Iterable[str]) -> list[str]:
    return sorted(ids, key=str.encode)


def _members(anglers: Iterable[DrawAngler]) -> Mapping[str, list[str]]:
    members: defaultdict[str, list[str]] = defaultdict(list)
    for angler in anglers:
        if angler.team is not None:
            members[angler.team].append(angler.id)
    return members


def draw_parse(raw: object) -> DrawRequest:
    """Read a request as described in the API.

    Raises BadInput with every fault and its pointer: among them more anglers than pegs, a team
    without exactly one angler for each section, a section with fewer pegs than there are teams,
    an angler, section or peg that stands there twice (pegs in two sections need two names, such
    as A7 and B7).
    """
    reading = Reading()
    body = reading.read_object(raw, (), needs=("seed", "anglers", "sections", "mode"))
    request = DrawRequest(
        seed=_seed_read(reading, body["seed"]) if "seed" in body else b"",
        anglers=tuple(_anglers_read(reading, body["anglers"])) if "anglers" in body else (),
        sections=tuple(_sections_read(reading, body["sections"])) if "sections" in body else (),
        mode=cast(Mode, reading.read_word(body["mode"], ("mode",), words=MODES))
        if "mode" in body
        else "open",
    )
    _repeats_note(reading, request)
    reading.finish()
    (_open_check if request.mode == "open" else _team_check)(reading, request)
    reading.finish()
    return request


def _seed_read(reading: Reading, raw: object) -> bytes:
    if isinstance(raw, str) and _SEED.fullmatch(raw):
        return bytes.fromhex(raw)
    reading.fault(("seed",), "Write the seed as 64 hexadecimal digits (32 bytes).")
    return b""


def _anglers_read(reading: Reading, raw: object) -> Iterator[DrawAngler]:
    at: Where = ("anglers",)
    for i, item in enumerate(reading.read_list(raw, at, empty="Nobody draws: name the anglers.")):
        body = reading.read_object(item, (*at, i), needs=("id",), may=("team",))
        team = body.get("team")
        yield DrawAngler(
            id=reading.read_id(body["id"], (*at, i, "id")) if "id" in body else "",
            team=None if team is None else reading.read_id(team, (*at, i, "team")),
        )


def _sections_read(reading: Reading, raw: object) -> Iterator[DrawSection]:
    at: Where = ("sections",)
    empty = "There is no section: give at least one."
    for i, item in enumerate(reading.read_list(raw, at, empty=empty)):
        body = reading.read_object(item, (*at, i), needs=("id", "pegs"))
        pegs = reading.read_list(
            body.get("pegs", []), (*at, i, "pegs"), empty=None if "pegs" not in body else _NO_PEG
        )
        yield DrawSection(
            id=reading.read_id(body["id"], (*at, i, "id")) if "id" in body else "",
            pegs=tuple(reading.read_id(peg, (*at, i, "pegs", n)) for n, peg in enumerate(pegs)),
        )


_NO_PEG: Final = "This section has no peg: give its pegs in bank order."


def _repeats_note(reading: Reading, request: DrawRequest) -> None:
    reading.note_repeats(
        ((a.id, ("anglers", i, "id")) for i, a in enumerate(request.anglers)),
        message="This angler stands here already: enter each once.",
    )
    reading.note_repeats(
        ((s.id, ("sections", i, "id")) for i, s in enumerate(request.sections)),
        message="Another section has this id: give each its own.",
    )
    reading.note_repeats(
        (
            (peg, ("sections", i, "pegs", n))
            for i, section in enumerate(request.sections)
            for n, peg in enumerate(section.pegs)
        ),
        message="This peg stands here already: give each its own name, such as A7 and B7.",
    )


def _open_check(reading: Reading, request: DrawRequest) -> None:
    pegs = sum(len(section.pegs) for section in request.sections)
    if len(request.anglers) > pegs:
        reading.fault(
            ("anglers",), f"More anglers ({len(request.anglers)}) than pegs ({pegs}): add pegs."
        )


def _team_check(reading: Reading, request: DrawRequest) -> None:
    for i, angler in enumerate(request.anglers):
        if angler.team is None:
            reading.fault(("anglers", i, "team"), "Everybody needs a team in a team draw.")
    members, sections = _members(request.anglers), len(request.sections)
    for team in _ids_sorted(members):
        if len(members[team]) != sections:
            reading.fault(
                ("anglers",),
                f"Enter one angler of team {team} for each section "
                f"(anglers {len(members[team])}, sections {sections}).",
            )
    for i, section in enumerate(request.sections):
        if len(section.pegs) < len(members):
            reading.fault(
                ("sections", i, "pegs"),
                f"Fewer pegs ({len(section.pegs)}) than teams ({len(members)}): add pegs.",
            )
