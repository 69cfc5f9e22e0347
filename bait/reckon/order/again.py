"""An order solved again under another condition, and how that answer differs from the first."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from time import monotonic
from typing import Final

from matches.reckon.money import pence_format

from .answer import BaitAmount, OrderAnswer
from .changed import amount_in, one_more
from .prepare import Scales, member_needs, problem_prepare, team_needs
from .request import OrderRequest
from .shelf import Shelf
from .work import order_work_out

#: A question may take this many times its even part of the time left, and so many seconds anyway:
#: hard ones are left out for the sake of the many, and come to their turn when few are left.
_PARTS: Final = 4
_EACH_LEAST: Final = 1.0
#: With less time than this left, in seconds, nothing new is begun.
_WORTH_S: Final = 0.05

Progress = Callable[[int, str], None]


@dataclass(frozen=True, slots=True)
class Figure:
    """Which figure is meant: "base", "only", "soonest", "dropped", "minimum", "free_delivery",
    "one_more", "one_less" or "without", and of which supplier, bait or pack."""

    figure: str
    of: str = ""

    def as_json(self) -> dict[str, str]:
        return {"figure": self.figure, "of": self.of}


@dataclass(frozen=True, slots=True)
class Change:
    """`after` packs of one line where the first answer has `before`."""

    pack: str
    before: int
    after: int


@dataclass(frozen=True, slots=True)
class WhatIf:
    """The proved least order under another condition, beside the first answer.

    `total` in pence, `difference` above (below zero: under) the first. `missing`: what the first
    answer has and this cannot; `gained`: what this has and the first cannot. With either, totals
    do not compare, and `difference` is None. `delivery_difference`: how much more is paid for
    delivery. `suppliers` by id; `changes` by pack id.
    """

    total: int
    difference: int | None
    delivery_difference: int
    packs: int
    suppliers: tuple[str, ...]
    left_over: tuple[BaitAmount, ...]
    missing: tuple[BaitAmount, ...]
    gained: tuple[BaitAmount, ...]
    changes: tuple[Change, ...]

    def as_json(self) -> dict[str, object]:
        difference = self.difference
        return {
            "total": pence_format(self.total),
            "difference": None if difference is None else pence_format(difference),
            "delivery_difference": pence_format(self.delivery_difference),
            "packs": self.packs,
            "suppliers": list(self.suppliers),
            "left_over": [amount.as_json() for amount in self.left_over],
            "missing": [amount.as_json() for amount in self.missing],
            "gained": [amount.as_json() for amount in self.gained],
            "changes": [
                {"pack": c.pack, "before": c.before, "after": c.after} for c in self.changes
            ],
        }


class Again:
    """Solves one request again and again until the time is up, counting what it had to leave.

    `base` is its answer, None where it could not be proved in the time. Each question's answer
    is proved or None; what came to None stands in `left_out`. `known`: answers from before, not
    asked again. `steps`: the unit of each bait of which one more may be asked. `deadline` is of
    the monotonic clock, in seconds. Raises what `progress` (percent done, a word) raises.
    """

    def __init__(
        self,
        request: OrderRequest,
        *,
        steps: Mapping[str, str],
        known: Mapping[Figure, WhatIf],
        deadline: float,
        progress: Progress,
    ) -> None:
        self.request = replace(request, compare_alone=False)
        self.steps, self.known = steps, known
        self.deadline, self.progress = deadline, progress
        self.left_out: list[Figure] = []
        self.questions, self._done, self._asked = 1, 0, 0
        self._shelf = _shelf_of(self.request, steps=steps)
        self.base = self._proved(self.request, most=deadline - monotonic())
        if self.base is None:
            self.left_out.append(Figure("base"))

    def ask(self, figure: Figure, request: OrderRequest) -> WhatIf | None:
        """The answer to a changed request; None (and left out) where it is not proved in time."""
        self._step()
        if figure in self.known:
            return self.known[figure]
        answer = None if self.base is None else self._proved(request, most=self._part())
        if self.base is None or answer is None:
            self.left_out.append(figure)
            return None
        found = what_if(answer, base=self.base, request=request)
        if figure.figure == "one_less" and found.gained:  # it is only asked for no more
            return replace(found, gained=(), difference=found.total - self.base.total)
        return found

    def same(self) -> WhatIf | None:
        """The first answer itself, where a condition changes nothing."""
        self._step()
        return (
            None if self.base is None else what_if(self.base, base=self.base, request=self.request)
        )

    def _part(self) -> float:
        """The seconds that the next question may take."""
        to_come = max(1, self.questions - len(self.known) - self._asked)
        self._asked += 1
        return max(_EACH_LEAST, _PARTS * (self.deadline - monotonic()) / to_come)

    def _step(self) -> None:
        self._done += 1
        self.progress(min(99, 100 * self._done // max(self.questions, self._done)), "explaining")

    def _proved(self, request: OrderRequest, *, most: float) -> OrderAnswer | None:
        """The answer, if it is proved: the least, and not cut short by the clock."""
        began = monotonic()
        seconds = min(most, self.deadline - began)
        if seconds < _WORTH_S:
            return None
        answer = order_work_out(request, time_limit_s=seconds, shelf=self._shelf)
        in_time = monotonic() - began < seconds
        least = answer.total == answer.lower_bound
        return answer if answer.settled or (least and in_time) else None


def _shelf_of(request: OrderRequest, *, steps: Mapping[str, str]) -> Shelf | None:
    """Covers for one unit more of everything; None where some packs are bought already.

    Those packs may then be had in other numbers from question to question.
    """
    if any(pack.bought for pack in request.packs):
        return None
    for bait, unit in steps.items():
        request = one_more(request, bait=bait, unit=unit)
    scales = Scales(request)
    needs = team_needs(member_needs(request, scales=scales), request=request, scales=scales)
    return Shelf(problem_prepare(request, needs=needs, scales=scales).problem)


def what_if(answer: OrderAnswer, *, base: OrderAnswer, request: OrderRequest) -> WhatIf:
    """One answer beside another; `request` is the one of `answer`."""
    missing = _shorter(answer, than=base, request=request)
    gained = _shorter(base, than=answer, request=request)
    return WhatIf(
        total=answer.total,
        difference=None if missing or gained else answer.total - base.total,
        delivery_difference=answer.delivery - base.delivery,
        packs=sum(line.packs for line in answer.lines),
        suppliers=tuple(sorted({line.supplier for line in answer.lines})),
        left_over=answer.left_over,
        missing=missing,
        gained=gained,
        changes=_changes(answer, base=base),
    )


def _shorter(
    answer: OrderAnswer, *, than: OrderAnswer, request: OrderRequest
) -> tuple[BaitAmount, ...]:
    """What `answer` is short of beyond what the other is."""
    before = {short.bait: short for short in than.short}
    found = []
    for short in answer.short:
        amount, known = short.amount, before.get(short.bait)
        if known is not None:
            amount -= amount_in(
                request, bait=short.bait, amount=known.amount, unit=known.unit, to=short.unit
            )
        if amount > 0:
            found.append(replace(short, amount=amount))
    return tuple(found)


def _changes(answer: OrderAnswer, *, base: OrderAnswer) -> tuple[Change, ...]:
    before = {line.pack: line.packs for line in base.lines}
    after = {line.pack: line.packs for line in answer.lines}
    return tuple(
        Change(pack, before.get(pack, 0), after.get(pack, 0))
        for pack in sorted(before.keys() | after.keys())
        if before.get(pack, 0) != after.get(pack, 0)
    )
