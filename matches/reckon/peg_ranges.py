"""Pegs of sections as a person types them, such as "1-12, 14", read and written back."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping, Sequence
from typing import Final

from .errors import BadInput, Fault
from .reading import Reading, Where, is_storable
from .sections import LEAST_PEGS, SectionRun

LABEL_LONGEST: Final = 8
TYPED_LONGEST: Final = 4_000
_DASH: Final = re.compile(r"\s*[-‐‑–—]\s*")
_BETWEEN: Final = re.compile(r"[,;\s]+")


def sections_read(
    typed: Sequence[tuple[str, str]], *, walk: Sequence[str], left_out: Collection[str]
) -> tuple[SectionRun, ...]:
    """Sections from their labels and typed pegs; a row without pegs is no section.

    `walk` is every peg that may be fished, in order; a range skips those in `left_out`. Raises
    BadInput; its faults point at "/row/pegs" or "/row/label".
    """
    reading = Reading()
    at, out = {number: n for n, number in enumerate(walk)}, frozenset(left_out)
    rows = [(n, label.strip(), text) for n, (label, text) in enumerate(typed) if text.strip()]
    runs = [
        SectionRun(label, _pegs(reading, text, where=(n, "pegs"), at=at, left_out=out))
        for n, label, text in rows
    ]
    _labels_check(reading, [(n, label) for n, label, _ in rows])
    _pegs_check(reading, [(n, run) for (n, _, _), run in zip(rows, runs, strict=True)])
    reading.finish()
    if not runs:
        raise BadInput(Fault("", "Put the pegs in at least one section."))
    return tuple(runs)


def pegs_read(text: str, *, walk: Sequence[str], left_out: Collection[str]) -> tuple[str, ...]:
    """The pegs of one typed field, in the order of the walk. Faults point at "/pegs"."""
    reading = Reading()
    at = {number: n for n, number in enumerate(walk)}
    pegs = _pegs(reading, text, where=("pegs",), at=at, left_out=frozenset(left_out))
    reading.finish()
    return pegs


def _pegs(
    reading: Reading, text: str, *, where: Where, at: Mapping[str, int], left_out: frozenset[str]
) -> tuple[str, ...]:
    numbers, found, before = list(at), set[int](), len(reading.faults)
    if len(text) > TYPED_LONGEST:
        reading.fault(where, "This is too long: write ranges, such as 1-12.")
        return ()
    for word in filter(None, _BETWEEN.split(_DASH.sub("-", text))):
        if word in at:
            if word in left_out:
                reading.fault(where, f"Peg {word} is left out on the day: bring it back first.")
            found.add(at[word])
            continue
        ends = _range(word, at=at)
        if ends is None:
            reading.fault(
                where,
                f"There is no peg “{word[:20]}” here: write numbers of the list, as in 1-12, 14.",
            )
        elif ends[0] > ends[1]:
            first, last = numbers[ends[1]], numbers[ends[0]]
            reading.fault(where, f"Write the range downstream: {first}-{last}.")
        else:
            found.update(n for n in range(ends[0], ends[1] + 1) if numbers[n] not in left_out)
    if not found and len(reading.faults) == before:
        reading.fault(where, "No peg of these is fished on the day: write others.")
    return tuple(numbers[n] for n in sorted(found))


def _range(word: str, *, at: Mapping[str, int]) -> tuple[int, int] | None:
    """The ends of "first-last"; a peg's own number may have a dash in it."""
    for n, letter in enumerate(word):
        if letter == "-" and word[:n] in at and word[n + 1 :] in at:
            return at[word[:n]], at[word[n + 1 :]]
    return None


def _labels_check(reading: Reading, labels: Sequence[tuple[int, str]]) -> None:
    for row, label in labels:
        if not 1 <= len(label) <= LABEL_LONGEST or not is_storable(label):
            said = f"Name the section in 1 to {LABEL_LONGEST} plain characters."
            reading.fault((row, "label"), said)
    reading.note_repeats(
        ((label, (row, "label")) for row, label in labels),
        message="Another section has this name: use a different one.",
    )


def _pegs_check(reading: Reading, runs: Sequence[tuple[int, SectionRun]]) -> None:
    held: dict[str, str] = {}
    for row, run in runs:
        if len(run.pegs) == LEAST_PEGS - 1:
            reading.fault(
                (row, "pegs"),
                "One peg is no section, as nobody there is placed against anybody: give it "
                "another peg, or empty the field and the section goes.",
            )
        for peg in run.pegs:
            if held.setdefault(peg, run.label) != run.label:
                reading.fault(
                    (row, "pegs"),
                    f"Peg {peg} is in section {held[peg]} already: take it out of one.",
                )


def ranges_text(pegs: Collection[str], *, walk: Sequence[str], left_out: Collection[str]) -> str:
    """Pegs as ranges along the walk, left-out ones skipped: the text `sections_read` reads."""
    spans: list[list[str]] = []
    going = False
    for number in walk:
        if number in left_out and number not in pegs:
            continue
        if number in pegs and going:
            spans[-1].append(number)
        elif number in pegs:
            spans.append([number])
        going = number in pegs
    return ", ".join(_span_text(span, walk=walk) for span in spans)


def _span_text(span: Sequence[str], *, walk: Sequence[str]) -> str:
    """A dash only where it cannot be read as part of a peg's own number."""
    text = f"{span[0]}-{span[-1]}"
    if len(span) > LEAST_PEGS and text.count("-") == 1 and text not in walk:
        return text
    return ", ".join(span)
