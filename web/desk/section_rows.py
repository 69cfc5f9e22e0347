"""The form of a match's sections: rows of label and pegs, as typed, moved or suggested."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from matches.models import Peg
from matches.reads.match_pegs import MatchPegs
from matches.reckon.errors import Fault
from matches.reckon.peg_ranges import ranges_text
from matches.reckon.sections import SectionRun, section_label
from web.river_strip import Strip

from .strips import section_strips

ROWS_MOST = 200


@dataclass
class SectionRow:
    """One section of the form; `strips`, `words` and `size` only where its pegs could be read.

    `up` and `down` are the pegs that the boundary after this section would let pass, `pressed`
    the way it was moved just now.
    """

    label: str
    typed: str
    faults: dict[str, str] = field(default_factory=dict)
    strips: list[Strip] = field(default_factory=list)
    words: list[str] = field(default_factory=list)
    size: int = 0
    up: str = ""
    down: str = ""
    next_label: str = ""
    pressed: str = ""


def rows_sent(sent: Mapping[str, str]) -> list[tuple[str, str]]:
    """The labels and pegs of a sent form, in order."""
    rows = []
    for n in range(ROWS_MOST):
        if f"pegs-{n}" not in sent:
            break
        rows.append((sent.get(f"label-{n}", ""), sent[f"pegs-{n}"]))
    return rows


def rows_of_runs(pegs: MatchPegs, runs: Sequence[SectionRun]) -> list[SectionRow]:
    """The rows of sections that can be drawn, each with its picture and its words."""
    ends, of_number = pegs.ends(runs), {peg.number: peg for peg in pegs.pegs}
    walk = pegs.walk
    rows = [
        SectionRow(
            label=run.label,
            typed=ranges_text({*run.pegs}, walk=walk, left_out=pegs.left_out),
            strips=strips,
            words=[
                _peg_words(of_number[n], is_end=n in ends, sits=pegs.sits.get(n, ""))
                for n in run.pegs
            ],
            size=len(run.pegs),
        )
        for run, strips in zip(runs, section_strips(pegs, runs), strict=True)
    ]
    for n, row in enumerate(rows[:-1]):
        row.up, row.down = runs[n].pegs[-1], runs[n + 1].pegs[0]
        row.next_label = runs[n + 1].label
    return rows


def rows_faulty(
    typed: Sequence[tuple[str, str]], faults: Sequence[Fault]
) -> tuple[list[SectionRow], list[str]]:
    """The rows as they were typed, each fault at its field; and the faults of no field."""
    rows = [SectionRow(label, text) for label, text in typed]
    others = []
    for fault in faults:
        _, row, name, *_more = [*fault.pointer.split("/"), "", "", ""]
        if name and row.isdigit() and int(row) < len(rows):
            rows[int(row)].faults.setdefault(name, fault.message)
        else:
            others.append(fault.message)
    return rows, others


def label_free(rows: Sequence[SectionRow]) -> str:
    """The next letter that no row has."""
    held = {row.label for row in rows}
    return next(label for n in range(len(rows) + 1) if (label := section_label(n)) not in held)


def _peg_words(peg: Peg, *, is_end: bool, sits: str) -> str:
    """A peg as the list says it: what is to be known of it, and who sits there."""
    known = [
        words
        for is_so, words in (
            (is_end, _("end peg")),
            (peg.accessible, _("reached with a wheelchair")),
            (peg.power_lines, _("power lines")),
            (peg.steep_bank, _("steep bank")),
            (peg.retired, _("retired")),
        )
        if is_so
    ]
    said = _("Peg %(peg)s") % {"peg": peg.number}
    said = f"{said} ({', '.join(known)})" if known else said
    return f"{said}: {sits}" if sits else said


def sections_notes(pegs: MatchPegs, runs: Sequence[SectionRun]) -> list[tuple[str, str]]:
    """What to know before saving: (info or warn, sentence)."""
    return [
        *_size_notes(runs),
        *_count_notes(pegs, runs),
        *_empty_notes(pegs, runs),
        *(
            ("warn", _("Section %(label)s has pegs on both banks.") % {"label": label})
            for label in pegs.across(runs)
        ),
        *_loose_notes(pegs, runs),
    ]


def _size_notes(runs: Sequence[SectionRun]) -> list[tuple[str, str]]:
    sizes = [len(run.pegs) for run in runs]
    if not sizes or len(set(sizes)) == 1:
        return []
    said = ", ".join(f"{run.label} {len(run.pegs)}" for run in runs)
    if max(sizes) - min(sizes) == 1:
        words = _("%(n)s pegs do not come out even: %(sizes)s.")
        return [("info", words % {"n": sum(sizes), "sizes": said})]
    words = _("The sections are uneven: %(sizes)s. A place counts more in a larger one.")
    return [("warn", words % {"sizes": said})]


def _count_notes(pegs: MatchPegs, runs: Sequence[SectionRun]) -> list[tuple[str, str]]:
    count = sum(len(run.pegs) for run in runs)
    if not runs or count >= pegs.entered:
        return []
    words = _(
        "%(entered)s are entered and %(pegs)s pegs are in sections: add pegs, or %(n)s sit out."
    )
    return [("warn", words % {"entered": pegs.entered, "pegs": count, "n": pegs.entered - count})]


def _empty_notes(pegs: MatchPegs, runs: Sequence[SectionRun]) -> list[tuple[str, str]]:
    """An open draw fills the pegs in the order of the sections' labels: who is left with fewer than
    two anglers then has nobody to be placed against."""
    left, short = pegs.entered, []
    for run in sorted(runs, key=lambda run: run.label.encode()):
        if left < min(2, len(run.pegs)):
            short.append(run.label)
        left = max(0, left - len(run.pegs))
    if not short or not pegs.entered or pegs.drawn:
        return []
    words = ngettext(
        "In an open draw the first %(entered)s pegs are drawn, so section %(labels)s would have "
        "nobody to be placed against: cut fewer sections, or leave pegs out.",
        "In an open draw the first %(entered)s pegs are drawn, so sections %(labels)s would have "
        "nobody to be placed against: cut fewer sections, or leave pegs out.",
        len(short),
    )
    return [("warn", words % {"entered": pegs.entered, "labels": ", ".join(short)})]


def _loose_notes(pegs: MatchPegs, runs: Sequence[SectionRun]) -> list[tuple[str, str]]:
    loose = pegs.loose(runs)
    if not runs or not loose:
        return []
    words = ngettext(
        "Peg %(pegs)s is in no section: nobody draws it. Put it into one, or leave it out.",
        "Pegs %(pegs)s are in no section: nobody draws them. Put them into one, or leave them out.",
        len(loose),
    )
    text = ranges_text(set(loose), walk=pegs.walk, left_out=pegs.left_out)
    return [("warn", words % {"pegs": text})]
