"""What a plan needs in all.

Amounts are exact fractions; what leaves here as text is rounded up to a ten-thousandth of the
unit, so that nobody is handed too little.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from matches.reckon.decimals import decimal_text, rounded_up
from matches.reckon.errors import BadInput, Fault, pointer

from .units import UNITS, amount_convert

MOST_STAGES = 30
MOST_FEEDS = 20
MOST_THROWS = 5_000
MOST_LITRES = 1_000
MOST_KILOGRAMS = 1_000
MOST_PIECES = 100_000
_MOST = {"L": MOST_LITRES, "kg": MOST_KILOGRAMS, "each": MOST_PIECES}
MIX, FEED, HOOK = "mix", "feed", "hook"
THROWS = ("pinch", "handful", "pouch")
BAG = "bag"
PLAN_UNITS = (*UNITS, *THROWS, BAG)
#: Millilitres a throw holds until an angler measures their own (from memory).
THROW_ML: Throws = {
    ("pinch", None): Fraction(10),
    ("handful", None): Fraction(80),
    ("pouch", None): Fraction(40),
}


@dataclass(frozen=True, slots=True)
class BaitFacts:
    """A bait as far as reckoning goes: its kind, the unit people think in, kg in a litre."""

    key: str
    kind: str
    unit: str
    density: Fraction | None = None
    bag: Fraction | None = None
    family: str = ""
    dead: bool = False


@dataclass(frozen=True, slots=True)
class Feed:
    """An amount in a unit of `PLAN_UNITS`."""

    bait: str
    amount: Fraction
    unit: str


@dataclass(frozen=True, slots=True)
class Balls:
    """So many balls of a diameter in millimetres, made of the mix of that name."""

    count: int
    mm: int
    mix: str


@dataclass(frozen=True, slots=True)
class PlannedStage:
    """Minutes from the start of the match; `every_seconds` None: the amount goes in once.

    With `balls` the feeds are what all of them together are loaded with.
    """

    start_minute: int
    end_minute: int
    every_seconds: int | None
    feeds: tuple[Feed, ...]
    kind: str = "feed"
    line: str = ""
    balls: Balls | None = None

    @property
    def use(self) -> str:
        """What its feeds are for: "mix" (loaded into balls), "hook" or "feed" (loose)."""
        if self.balls is not None:
            return MIX
        return HOOK if self.kind == HOOK else FEED


@dataclass(frozen=True, slots=True)
class MixPart:
    """One thing of a mix: dry before the water, or (soil) after the rest."""

    bait: str
    amount: Fraction
    unit: str
    after_rest: bool = False


@dataclass(frozen=True, slots=True)
class PlannedMix:
    """A mix as planned; what its last five mean, and their ranges, says the mix calculator."""

    name: str
    parts: tuple[MixPart, ...]
    rest_minutes: int = 25
    water_per_dry: Fraction = Fraction("0.45")
    swell: Fraction = Fraction(1)
    squeeze: Fraction = Fraction("0.7")
    packing: Fraction = Fraction("0.6")
    film_mm: Fraction = Fraction("0.4")


#: Millilitres of a throw ("pinch", "handful", "pouch") of one bait, or of any where that is None.
Throws = Mapping[tuple[str, str | None], Fraction]


@dataclass(frozen=True, slots=True)
class BaitTotal:
    """What one bait comes to, in the bait's own unit; `with_spare` is what is handed out.

    `uses` splits `planned` into what is mixed or loaded ("mix"), fed loose and hooked.
    """

    bait: str
    unit: str
    planned: Fraction
    with_spare: Fraction
    uses: Mapping[str, Fraction]

    def used(self, use: str, *, spare: bool = True) -> Fraction:
        """What of it is for `use`, with its part of the spare unless that is left out."""
        part = self.uses.get(use, Fraction(0))
        return part * self.with_spare / self.planned if spare else part


def throws_count(stage: PlannedStage) -> int:
    """How often the stage's amount goes in: at its start, then every so many seconds while
    before its end. 0–10 minutes every 60 s is ten throws, not eleven. Once without a
    rhythm.
    """
    if stage.every_seconds is None or stage.every_seconds < 1:
        return 1
    span = (stage.end_minute - stage.start_minute) * 60
    return max(1, -(-span // stage.every_seconds))


def plan_totals(
    stages: Sequence[PlannedStage],
    *,
    baits: Mapping[str, BaitFacts],
    spare_percent: int,
    mixes: Sequence[PlannedMix] = (),
    throws: Throws = THROW_ML,
) -> tuple[BaitTotal, ...]:
    """What each bait of the plan comes to, by key, without and with the spare.

    `throws` are the angler's own where they are measured (`THROW_ML` fills the rest). Raises
    BadInput, pointing into lists `stages` of `feeds` and `mixes` of `parts`, for a bait not in
    `baits`, a unit that does not fit it, an amount not above zero, a rhythm or a total beyond any
    match.
    """
    faults: list[Fault] = []
    if len(stages) > MOST_STAGES:
        faults.append(Fault("/stages", f"Use at most {MOST_STAGES} stages."))
    if not 0 <= spare_percent <= 100:
        faults.append(Fault("/spare_percent", "Take 0 to 100 percent spare."))
    sums = _Sums(baits, throws={**THROW_ML, **throws})
    for at, mix in enumerate(mixes):
        for n, part in enumerate(mix.parts):
            feed = Feed(part.bait, part.amount, part.unit)
            faults += sums.add(feed, times=1, use=MIX, where=("mixes", at, "parts", n))
    for at, stage in enumerate(stages):
        faults += _stage_faults(stage, at=at)
        times = throws_count(stage)
        for n, feed in enumerate(stage.feeds):
            faults += sums.add(feed, times=times, use=stage.use, where=("stages", at, "feeds", n))
    if faults:
        raise BadInput(*faults)
    spare = Fraction(100 + spare_percent, 100)
    planned = {key: sum(uses.values(), Fraction(0)) for key, uses in sorted(sums.uses.items())}
    return tuple(
        BaitTotal(key, baits[key].unit, total, total * spare, sums.uses[key])
        for key, total in planned.items()
    )


class _Sums:
    """Amounts by bait and use, each in the bait's own unit."""

    def __init__(self, baits: Mapping[str, BaitFacts], *, throws: Throws) -> None:
        self.baits, self.throws = baits, throws
        self.uses: dict[str, dict[str, Fraction]] = {}

    def add(
        self, feed: Feed, *, times: int, use: str, where: tuple[str | int, ...]
    ) -> tuple[Fault, ...]:
        """Count the feed `times` over; what is wrong with it instead."""
        try:
            each = feed_amount(feed, baits=self.baits, throws=self.throws, where=where)
            uses = self.uses.setdefault(feed.bait, {})
            uses[use] = uses.get(use, Fraction(0)) + each * times
            total = sum(uses.values(), Fraction(0))
            _total_check(self.baits[feed.bait], total, where=where)
        except BadInput as bad:
            return bad.faults
        return ()


def _stage_faults(stage: PlannedStage, *, at: int) -> list[Fault]:
    where = ("stages", at)
    faults = []
    if stage.end_minute < stage.start_minute:
        faults.append(Fault(pointer(*where, "end_minute"), "End the stage after its start."))
    if not -60 <= stage.start_minute <= 1440 or not -60 <= stage.end_minute <= 1440:
        faults.append(
            Fault(pointer(*where, "start_minute"), "Stay between −60 and 1440 minutes from start.")
        )
    if stage.every_seconds is not None and stage.every_seconds < 1:
        faults.append(
            Fault(pointer(*where, "every_seconds"), "Feed every second at the most, or once.")
        )
    elif throws_count(stage) > MOST_THROWS:
        faults.append(
            Fault(
                pointer(*where, "every_seconds"),
                f"That is more than {MOST_THROWS} throws: feed less often or for a shorter time.",
            )
        )
    if len(stage.feeds) > MOST_FEEDS:
        faults.append(Fault(pointer(*where, "feeds"), f"Use at most {MOST_FEEDS} baits a stage."))
    repeated = _repeated([feed.bait for feed in stage.feeds])
    faults += [
        Fault(pointer(*where, "feeds", n, "bait"), "This bait is in the stage already: add it up.")
        for n in repeated
    ]
    return faults


def _repeated(keys: Sequence[str]) -> list[int]:
    return [n for n, key in enumerate(keys) if key in keys[:n]]


def feed_amount(
    feed: Feed,
    *,
    baits: Mapping[str, BaitFacts],
    throws: Throws = THROW_ML,
    where: tuple[str | int, ...] = (),
) -> Fraction:
    """The amount of one throw, in the bait's own unit. Raises BadInput, see `plan_totals`."""
    bait = baits.get(feed.bait)
    if bait is None:
        raise BadInput(
            Fault(pointer(*where, "bait"), f"The club has no bait “{feed.bait}”: choose another.")
        )
    if feed.amount <= 0:
        raise BadInput(Fault(pointer(*where, "amount"), "Write an amount above zero."))
    if feed.unit == BAG:
        if bait.bag is None:
            words = f"Nobody said how much a bag of “{feed.bait}” is: use another unit."
            raise BadInput(Fault(pointer(*where, "unit"), words))
        return feed.amount * bait.bag
    amount, unit = feed.amount, feed.unit
    if unit in THROWS:
        ml = throws.get((unit, feed.bait)) or throws.get((unit, None)) or THROW_ML[unit, None]
        amount, unit = amount * ml, "ml"
    converted = amount_convert(amount, unit=unit, to=bait.unit, density=bait.density)
    if converted is None:
        raise BadInput(
            Fault(
                pointer(*where, "unit"),
                f"“{feed.unit}” does not fit “{feed.bait}”, which is kept in “{bait.unit}”: "
                "use a unit of that sort, or ask for the bait's density to be set.",
            )
        )
    return converted


def _total_check(bait: BaitFacts, total: Fraction, *, where: tuple[str | int, ...]) -> None:
    for unit, most in _MOST.items():
        in_unit = amount_convert(total, unit=bait.unit, to=unit, density=None)
        if in_unit is not None and in_unit > most:
            raise BadInput(
                Fault(
                    pointer(*where, "amount"),
                    f"With this the plan needs over {most} {unit} of “{bait.key}”: "
                    "check the amount.",
                )
            )


def amount_text(amount: Fraction) -> str:
    """`amount` as a decimal string of at most four places, rounded up."""
    return decimal_text(rounded_up(amount))
