"""What a secretary types of a match's day, read into what a match keeps."""

from __future__ import annotations

import datetime as dt
import zoneinfo
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from django.utils.translation import gettext as _

from matches.comma_words import comma_words
from matches.models import Match, Venue
from matches.reckon.decimals import digits_read
from matches.reckon.errors import BadInput, Fault
from matches.reckon.money import money_typed, pence_format
from matches.reckon.reading import is_storable
from matches.times import zone_named

#: The signals of the day in their order, each with the field it is typed in.
SIGNALS = ("draw_at", "prepare_at", "feed_at", "start_at", "end_at")
NEEDED = ("start_at", "end_at")
TERMS = (
    "name",
    "venue",
    "date",
    *SIGNALS,
    "last_call_min",
    "order_by",
    "objection_min",
    "places_most",
    "fee",
)
DAY_FIRST, DAY_LAST = dt.date(2000, 1, 1), dt.date(2199, 12, 31)
LAST_CALL_MOST, OBJECTION_MOST, PLACES_MOST = 120, 10_080, 2_000
FEE_MOST = 1_000_000


@dataclass(frozen=True, slots=True)
class MatchTerms:
    """When and where a match is, and on what terms one enters it. Moments are in UTC."""

    name: str
    venue: Venue
    date: dt.date
    draw_at: dt.datetime | None
    prepare_at: dt.datetime | None
    feed_at: dt.datetime | None
    start_at: dt.datetime
    end_at: dt.datetime
    last_call_min: int
    order_by: dt.datetime | None
    objection_min: int
    places_most: int | None
    fee_pence: int

    def changed_in(self, match: Match) -> list[str]:
        """The fields that differ from what the match keeps."""
        return [key for key in self.__slots__ if getattr(match, key) != getattr(self, key)]


def signal_names() -> dict[str, str]:
    """The signals as they are called, by their field."""
    return {
        "draw_at": _("the draw"),
        "prepare_at": _("prepare"),
        "feed_at": _("feed"),
        "start_at": _("the start"),
        "end_at": _("the end"),
    }


def terms_typed(match: Match) -> dict[str, str]:
    """What stands of a match as it is typed: times in the venue's zone."""
    zone = venue_zone(match.venue)
    times = {key: getattr(match, key) for key in SIGNALS}
    return {
        "name": match.name,
        "venue": str(match.venue_id),
        "date": match.date.isoformat(),
        **{k: t.astimezone(zone).strftime("%H:%M") if t else "" for k, t in times.items()},
        "last_call_min": str(match.last_call_min),
        "order_by": match.order_by.astimezone(zone).strftime("%Y-%m-%dT%H:%M")
        if match.order_by
        else "",
        "objection_min": str(match.objection_min),
        "places_most": "" if match.places_most is None else str(match.places_most),
        "fee": pence_format(match.fee_pence) if match.fee_pence else "",
    }


def venue_zone(venue: Venue) -> zoneinfo.ZoneInfo:
    """The venue's zone; UTC where its name is none we know."""
    return zone_named(venue.timezone)


def terms_parse(typed: Mapping[str, str], *, venues: Iterable[Venue]) -> MatchTerms:
    """Read the typed fields (`TERMS`); `venues` are those that may be chosen.

    Raises BadInput with every fault, each at its field.
    """
    return _Terms(typed).read({str(venue.pk): venue for venue in venues})


class _Terms:
    """One reading of the fields: what is wrong is gathered, each at its field."""

    def __init__(self, typed: Mapping[str, str]) -> None:
        self.typed = {key: typed.get(key, "").strip() for key in TERMS}
        self.faults: list[Fault] = []

    def read(self, venues: Mapping[str, Venue]) -> MatchTerms:
        name = self._name()
        venue = venues.get(self.typed["venue"])
        if venue is None:
            self._fault("venue", _("Choose where it is fished."))
        date = self._date()
        zone = venue_zone(venue) if venue else zoneinfo.ZoneInfo("UTC")
        times = {key: self._time(key, date, zone) for key in SIGNALS}
        self._order_check(times)
        last_call = self._whole("last_call_min", 0, LAST_CALL_MOST) or 0
        start, end = times["start_at"], times["end_at"]
        if start and end and end > start and last_call * 60 >= (end - start).total_seconds():
            self._fault("last_call_min", _("The last call must come after the start."))
        order_by = self._order_by(zone, start)
        objection = self._whole("objection_min", 0, OBJECTION_MOST) or 0
        places = self._whole("places_most", 1, PLACES_MOST, empty=True)
        fee = self._fee()
        if self.faults or venue is None or date is None or start is None or end is None:
            raise BadInput(*self.faults)
        return MatchTerms(
            name=name,
            venue=venue,
            date=date,
            draw_at=times["draw_at"],
            prepare_at=times["prepare_at"],
            feed_at=times["feed_at"],
            start_at=start,
            end_at=end,
            last_call_min=last_call,
            order_by=order_by,
            objection_min=objection,
            places_most=places,
            fee_pence=fee,
        )

    def _fault(self, field: str, sentence: str) -> None:
        self.faults.append(Fault(f"/{field}", sentence))

    def _name(self) -> str:
        name = " ".join(self.typed["name"].split())
        if not name:
            self._fault("name", _("Give the match a name."))
        elif len(name) > 120:
            self._fault("name", _("Keep the name to 120 characters."))
        elif not is_storable(name):
            self._fault("name", _("A character here cannot be stored: write it anew."))
        return name

    def _date(self) -> dt.date | None:
        try:
            date = dt.date.fromisoformat(self.typed["date"])
        except ValueError:
            self._fault("date", _("Write the day as year-month-day, such as 2026-06-20."))
            return None
        if not DAY_FIRST <= date <= DAY_LAST:
            self._fault("date", _("Choose a day between the years 2000 and 2199."))
            return None
        return date

    def _time(self, key: str, date: dt.date | None, zone: zoneinfo.ZoneInfo) -> dt.datetime | None:
        text = self.typed[key]
        if not text and key not in NEEDED:
            return None
        try:
            time = dt.time.fromisoformat(text)
        except ValueError:
            time = None
        if time is None or time.tzinfo:
            self._fault(key, _("Write the time as hours:minutes, such as 09:30."))
            return None
        return self._moment(key, dt.datetime.combine(date, time), zone) if date else None

    def _moment(self, key: str, local: dt.datetime, zone: zoneinfo.ZoneInfo) -> dt.datetime | None:
        """The moment in UTC. What the clock shows twice on that day is its first."""
        moment = local.replace(second=0, microsecond=0, tzinfo=zone).astimezone(dt.UTC)
        if moment.astimezone(zone).replace(tzinfo=None) != local.replace(second=0, microsecond=0):
            self._fault(key, _("The clocks go forward past this time on that day: choose another."))
            return None
        return moment

    def _order_check(self, times: Mapping[str, dt.datetime | None]) -> None:
        """Each signal that has a time must come at or after the one before it."""
        names = signal_names()
        last: str | None = None
        for key in SIGNALS:
            time = times[key]
            if time is None:
                continue
            before = times[last] if last else None
            if before and (time < before or (key == "end_at" and time == before)):
                said = {"this": names[key], "before": names[last or key]}
                self._fault(
                    key,
                    _("This is before %(before)s: %(this)s comes after it. Mend one of the two.")
                    % said,
                )
            last = key

    def _order_by(self, zone: zoneinfo.ZoneInfo, start: dt.datetime | None) -> dt.datetime | None:
        text = self.typed["order_by"]
        if not text:
            return None
        try:
            local = dt.datetime.fromisoformat(text)
        except ValueError:
            local = None
        if local is None or local.tzinfo or not DAY_FIRST <= local.date() <= DAY_LAST:
            self._fault("order_by", _("Write day and time, such as 2026-06-18 12:00."))
            return None
        moment = self._moment("order_by", local, zone)
        if moment and start and moment > start:
            self._fault("order_by", _("Bait is ordered before the start: choose an earlier time."))
        return moment

    def _whole(self, key: str, least: int, most: int, *, empty: bool = False) -> int | None:
        text = self.typed[key]
        if not text and empty:
            return None
        value = digits_read(text, most=most)
        if value is None or value < least:
            said = {"least": least, "most": most}
            self._fault(key, _("Write a whole number from %(least)d to %(most)d.") % said)
            return None
        return value

    def _fee(self) -> int:
        try:
            pence = money_typed(self.typed["fee"]) if self.typed["fee"] else 0
        except BadInput:
            pence = -1
        if not 0 <= pence <= FEE_MOST:
            words = _("Write the fee such as 10.00, or leave it empty for none.")
            self._fault("fee", comma_words(self.typed["fee"], otherwise=words))
        return pence
