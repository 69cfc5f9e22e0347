"""A venue's pegs: added, changed, moved along the bank, retired, deleted while no match names one,
and a file of them at once."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Final

from django.db import transaction
from django.db.models import F
from django.utils.translation import gettext as _

from matches.models import Match, Peg, Person, Venue
from matches.problems import Code, Problem
from matches.reads.peg_files import PegsCompared, pegs_compare
from matches.reads.venues import match_fixing_number, matches_to_come, peg_line, peg_of, pegs_of
from matches.reckon.errors import BadInput, Fault
from matches.reckon.peg_fields import COLUMNS, FLAGS, PegLine, PegValue
from matches.reckon.peg_list import peg_value_text

from .audit import TOLD_MOST, audit_record
from .locks import club_locked
from .page_marks import mark_check
from .venues import venue_kept

FIELDS: Final = [name for name in COLUMNS if name != "number"]
# Positions go through numbers nobody has, so that no two pegs ever hold one.
AWAY: Final = 1_000_000
PEGS_MOST: Final = 2_000


@dataclass(frozen=True, slots=True)
class PegsImported:
    """How many pegs were added, changed, brought back and retired, and whether any moved."""

    new: int
    changed: int
    back: int
    retired: int
    moved: bool

    @property
    def anything(self) -> bool:
        return bool(self.new or self.changed or self.back or self.retired or self.moved)


def peg_add(person: Person, *, venue: Venue, line: PegLine, behind: int | None = None) -> Peg:
    """A new peg downstream of the peg `behind`, or downstream of all. Raises BadInput, Problem."""
    with transaction.atomic():
        venue = _venue_held(person, venue)
        pegs = list(pegs_of(venue))
        _number_free(pegs, number=line.number, own=None)
        if len(pegs) >= PEGS_MOST:
            raise BadInput(
                Fault("", _("The venue has as many pegs as it may: make another venue."))
            )
        at = next((n for n, peg in enumerate(pegs, 1) if peg.pk == behind), len(pegs))
        last = pegs[-1].position if pegs else 0
        peg = Peg.objects.create(
            venue=venue, number=line.number, position=last + 1, **dict(line.values)
        )
        _order_write(venue, [*(p.pk for p in pegs[:at]), peg.pk, *(p.pk for p in pegs[at:])])
        _audit(person, venue, "peg_add", peg=peg.number, **_told(line))
        peg.refresh_from_db(fields=["position"])
        return peg


def peg_typed(peg: Peg) -> dict[str, str]:
    """What is known of a peg, as it is typed."""
    values = {name: peg_value_text(value) for name, value in peg_line(peg).values.items()}
    values |= {name: "on" if getattr(peg, name) else "" for name in FLAGS}
    return {**values, "number": peg.number}


def peg_change(person: Person, *, peg: Peg, line: PegLine, mark: str = "") -> bool:
    """Whether anything changed. `mark` (`page_mark` of what is typed) says on what page it was
    typed. Raises BadInput where the number is another's, or has to stay because the peg was drawn
    or weighed under it; for an old page."""
    with transaction.atomic():
        venue = _venue_held(person, peg.venue)
        kept = peg_of(venue, peg_id=peg.pk)
        before = peg_line(kept)
        values = {**before.values, **line.values}
        changed = {
            k: [_plain(before.values[k]), _plain(v)]
            for k, v in values.items()
            if before.values[k] != v
        }
        if changed or line.number != kept.number:
            mark_check(mark, stands=peg_typed(kept))
        if line.number != kept.number:
            _number_free(list(pegs_of(venue)), number=line.number, own=kept.pk)
            _number_loose(kept)
            changed["number"] = [kept.number, line.number]
        if changed:
            Peg.objects.filter(pk=kept.pk).update(number=line.number, **values)
            _audit(person, venue, "peg_change", peg=kept.number, **changed)
        return bool(changed)


def peg_move(person: Person, *, peg: Peg, downstream: bool) -> bool:
    """Past its neighbour along the bank; False at the end, where nothing changes."""
    with transaction.atomic():
        venue = _venue_held(person, peg.venue)
        pegs = list(pegs_of(venue))
        at = next((n for n, other in enumerate(pegs) if other.pk == peg.pk), None)
        if at is None:
            raise Problem(Code.NOT_FOUND, _("The venue has no such peg."))
        beyond = pegs[at + 1 :] if downstream else pegs[:at][::-1]
        to = next((pegs.index(other) for other in beyond if not other.retired), None)
        if to is None:
            return False
        pegs.insert(to, pegs.pop(at))
        _order_write(venue, [other.pk for other in pegs])
        _audit(person, venue, "peg_move", peg=peg.number, downstream=downstream)
        return True


def peg_retire(person: Person, *, peg: Peg) -> list[Match]:
    """Fished no more; twice is once. Answers the planned matches that still count on it."""
    with transaction.atomic():
        _retired_set(person, peg, retired=True)
        return matches_to_come(peg)


def peg_bring_back(person: Person, *, peg: Peg) -> None:
    """Fished again, where it was; twice is once."""
    with transaction.atomic():
        _retired_set(person, peg, retired=False)


def _retired_set(person: Person, peg: Peg, *, retired: bool) -> None:
    venue = _venue_held(person, peg.venue)
    if Peg.objects.filter(pk=peg.pk, venue=venue, retired=not retired).update(retired=retired):
        _audit(person, venue, "peg_retire" if retired else "peg_bring_back", peg=peg.number)


def peg_delete(person: Person, *, peg: Peg) -> None:
    """A peg that no match names. Raises Problem CONFLICT for any other."""
    with transaction.atomic():
        venue = _venue_held(person, peg.venue)
        kept = peg_of(venue, peg_id=peg.pk)
        # Annotated by `peg_of`: not in the model's type.
        if kept.named:  # type: ignore[attr-defined]
            raise Problem(
                Code.CONFLICT,
                _("A match names peg %(peg)s, so it stays for its result. Retire it instead.")
                % {"peg": kept.number},
            )
        Peg.objects.filter(pk=kept.pk).delete()
        _audit(person, venue, "peg_delete", peg=kept.number, **_told(peg_line(kept)))


def pegs_import(
    person: Person, *, venue: Venue, lines: Sequence[PegLine], retire: Collection[int] = ()
) -> PegsImported:
    """Make the venue's pegs what a file says; `retire` are pegs the file no longer has. Any other
    stays, behind the peg it was behind. Raises BadInput, Problem."""
    with transaction.atomic():
        venue = _venue_held(person, venue)
        compared = pegs_compare(venue, lines=lines)
        if len(compared.order) > PEGS_MOST:
            raise BadInput(Fault("", _("That would be more than 2,000 pegs: make another venue.")))
        gone = [peg for peg in compared.gone if peg.pk in retire]
        _lines_put(venue, compared)
        Peg.objects.filter(pk__in=[peg.pk for peg in gone]).update(retired=True)
        keys = dict(Peg.objects.filter(venue=venue).values_list("number", "pk"))
        _order_write(venue, [keys[number] for number in compared.order])
        done = PegsImported(
            new=len(compared.new),
            changed=len(compared.changed),
            back=len(compared.back),
            retired=len(gone),
            moved=compared.moved,
        )
        if done.anything:
            _import_audit(person, venue, compared=compared, gone=gone)
        return done


def _lines_put(venue: Venue, compared: PegsCompared) -> None:
    last = Peg.objects.filter(venue=venue).order_by("-position").values_list("position").first()
    Peg.objects.bulk_create(
        (
            Peg(
                venue=venue,
                number=row.line.number,
                position=(last[0] if last else 0) + n,
                **dict(row.line.values),
            )
            for n, row in enumerate(compared.new, 1)
        ),
        batch_size=200,
    )
    changed = []
    for row in (*compared.changed, *compared.back):
        if row.peg is not None:
            row.peg.retired = False
            for name, value in row.line.values.items():
                setattr(row.peg, name, value)
            changed.append(row.peg)
    Peg.objects.bulk_update(changed, [*FIELDS, "retired"], batch_size=100)


def _order_write(venue: Venue, keys: Sequence[int]) -> None:
    """Positions 1, 2, 3, … in the order of `keys`; only what differs is written."""
    now = dict(Peg.objects.filter(venue=venue).values_list("pk", "position"))
    moved = [Peg(pk=pk, position=n) for n, pk in enumerate(keys, 1) if now[pk] != n]
    for at in range(0, len(moved), 500):
        some = [peg.pk for peg in moved[at : at + 500]]
        Peg.objects.filter(pk__in=some).update(position=F("position") + AWAY)
    Peg.objects.bulk_update(moved, ["position"], batch_size=200)


def _venue_held(person: Person, venue: Venue) -> Venue:
    return venue_kept(club_locked(person, club=venue.club), venue=venue)


def _number_free(pegs: Sequence[Peg], *, number: str, own: int | None) -> None:
    other = next((peg for peg in pegs if peg.number == number and peg.pk != own), None)
    if other is not None and other.retired:
        raise BadInput(
            Fault("/number", _("A retired peg has this number: bring it back, or use another."))
        )
    if other is not None:
        raise BadInput(Fault("/number", _("Another peg has this number: use a different one.")))


def _number_loose(peg: Peg) -> None:
    match = match_fixing_number(peg)
    if match is not None:
        raise BadInput(
            Fault(
                "/number",
                _(
                    "Peg %(peg)s was drawn or logged in %(match)s, which must stay readable: keep "
                    "the number, or retire the peg and add another."
                )
                % {"peg": peg.number, "match": match.name},
            )
        )


def _plain(value: PegValue) -> Any:
    return str(value) if isinstance(value, Decimal) else value


def _told(line: PegLine) -> dict[str, Any]:
    """What is known of the peg, as the trail keeps it."""
    return {name: _plain(value) for name, value in line.values.items() if value}


def _audit(person: Person, venue: Venue, verb: str, **detail: Any) -> None:
    audit_record(club=venue.club, person=person, verb=verb, subject=venue, detail=detail)


def _import_audit(
    person: Person, venue: Venue, *, compared: PegsCompared, gone: Sequence[Peg]
) -> None:
    _audit(
        person,
        venue,
        "pegs_import",
        new=[row.line.number for row in compared.new[:TOLD_MOST]],
        changed={
            row.line.number: {k: [_plain(v) for v in pair] for k, pair in row.differs.items()}
            for row in compared.changed[:TOLD_MOST]
        },
        back=[row.line.number for row in compared.back[:TOLD_MOST]],
        retired=[peg.number for peg in gone[:TOLD_MOST]],
        moved=compared.moved,
    )
