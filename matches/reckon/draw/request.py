"""What the draw is asked: who draws for which pegs, read and checked."""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Literal, cast

from matches.reckon.reading import Reading, Where

from .access import everyone_fits

Mode = Literal["open", "team"]

MODES: Final = ("open", "team")
# Each who asks looks at every peg and may have to make way: anyone may use the calculator.
ASKING_MOST: Final = 200
_SEED = re.compile(r"[0-9a-fA-F]{64}")


@dataclass(frozen=True, slots=True)
class DrawAngler:
    """One angler in the draw; in a team draw everybody has a team. `needs_access`: asks for an
    accessible peg."""

    id: str
    team: str | None = None
    needs_access: bool = False


@dataclass(frozen=True, slots=True)
class DrawSection:
    """One section, its pegs in bank order, and which of them are accessible."""

    id: str
    pegs: tuple[str, ...]
    accessible: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class DrawRequest:
    """Who draws for which pegs. `seed` is 32 bytes."""

    seed: bytes
    anglers: tuple[DrawAngler, ...]
    sections: tuple[DrawSection, ...]
    mode: Mode


def ids_sorted(ids: Iterable[str]) -> list[str]:
    """Ids by their UTF-8 bytes."""
    return sorted(ids, key=str.encode)


def members_of(anglers: Iterable[DrawAngler]) -> Mapping[str, list[str]]:
    """Ids of each team's anglers."""
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
    as A7 and B7), and more who ask for an accessible peg than there are, or than can be kept one
    of a team to a section.
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
    _access_check(reading, request)
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
        body = reading.read_object(item, (*at, i), needs=("id",), may=("team", "needs_access"))
        team, flag = body.get("team"), (*at, i, "needs_access")
        yield DrawAngler(
            id=reading.read_id(body["id"], (*at, i, "id")) if "id" in body else "",
            team=None if team is None else reading.read_id(team, (*at, i, "team")),
            needs_access=reading.read_flag(body.get("needs_access", False), flag),
        )


def _sections_read(reading: Reading, raw: object) -> Iterator[DrawSection]:
    at: Where = ("sections",)
    empty = "There is no section: give at least one."
    for i, item in enumerate(reading.read_list(raw, at, empty=empty)):
        body = reading.read_object(item, (*at, i), needs=("id", "pegs"), may=("accessible",))
        pegs = reading.read_list(
            body.get("pegs", []), (*at, i, "pegs"), empty=None if "pegs" not in body else _NO_PEG
        )
        yield DrawSection(
            id=reading.read_id(body["id"], (*at, i, "id")) if "id" in body else "",
            pegs=tuple(reading.read_id(peg, (*at, i, "pegs", n)) for n, peg in enumerate(pegs)),
            accessible=_accessible_read(reading, body.get("accessible", []), pegs, (*at, i)),
        )


def _accessible_read(
    reading: Reading, raw: object, pegs: Sequence[object], of: Where
) -> frozenset[str]:
    at: Where = (*of, "accessible")
    numbers = [reading.read_id(peg, (*at, n)) for n, peg in enumerate(reading.read_list(raw, at))]
    known = {peg for peg in pegs if isinstance(peg, str)}
    for n, number in enumerate(numbers):
        if number and number not in known:
            reading.fault((*at, n), "This section has no such peg: name one of its pegs.")
    return frozenset(numbers)


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
    members, sections = members_of(request.anglers), len(request.sections)
    for team in ids_sorted(members):
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


def _access_check(reading: Reading, request: DrawRequest) -> None:
    asking = [a for a in request.anglers if a.needs_access]
    free = [len(s.accessible) for s in request.sections]
    if len(asking) > sum(free):
        reading.fault(
            ("anglers",),
            f"More ask for an accessible peg ({len(asking)}) than there are ({sum(free)}): make "
            "more pegs accessible, or ask who can do without.",
        )
    elif len(asking) > ASKING_MOST:
        reading.fault(
            ("anglers",),
            f"Up to {ASKING_MOST} may ask for an accessible peg (now {len(asking)}): where nearly "
            "everybody does, make every peg accessible and let nobody ask.",
        )
    elif request.mode == "team" and not everyone_fits(
        Counter(a.team or "" for a in asking), free=free
    ):
        reading.fault(
            ("anglers",),
            "Of a team that has several who ask for an accessible peg each needs one in another "
            "section: make pegs of more sections accessible, or draw openly.",
        )
