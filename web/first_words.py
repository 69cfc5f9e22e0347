"""The first steps of a club and of a team's first order in words, each with where it is done."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from django.urls import reverse
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from bait.reads.first_order import FirstOrder, OrderStep
from matches.reads.first_steps import FirstSteps, Step

#: What a step is called, and what to do there.
WORDS: Final[dict[str, tuple[Promise, Promise]]] = {
    Step.PEOPLE: (
        _("Write in who fishes"),
        _("Paste the names, one a line. Nobody needs an account to be in the book."),
    ),
    Step.VENUE: (
        _("Add the venue with its pegs"),
        _("Its name and how many pegs; depths and cautions can follow."),
    ),
    Step.MATCH: (
        _("Plan the match"),
        _("Next Saturday from ten to three is filled in: change what differs."),
    ),
    Step.ENTER: (_("Enter who fishes it"), _("A whole team with one press, or by ticks.")),
    Step.SECTIONS: (
        _("Cut the pegs into sections"),
        _("Even ones are suggested: look, and save them."),
    ),
    Step.DRAW: (
        _("Hold the draw"),
        _("Publish a commitment first, then draw: anybody can check it afterwards."),
    ),
    Step.WEIGH: (
        _("Weigh in"),
        _("On phones at the water, with or without signal, or typed from the scales sheet."),
    ),
    Step.PUBLISH: (_("Publish the result"), _("Look it over, then everybody can read it.")),
    OrderStep.TEAM: (_("Name who is in the team"), _("Paste the names, one a line.")),
    OrderStep.SHOP: (
        _("Give it a shop to buy from"),
        _("Your shop’s price list, or an invented example to try it with."),
    ),
    OrderStep.ENTER: (
        _("Be entered in a match"),
        _("The secretary enters the team; then each of you plans bait for that day."),
    ),
    OrderStep.PLANS: (
        _("Write a plan"),
        _("Take over a suggested one and change it. Others can follow later."),
    ),
    OrderStep.ORDER: (
        _("Work out the order"),
        _("The fewest pence for what every plan asks, in whole packs, with each one’s share."),
    ),
    OrderStep.PLACE: (
        _("Place it"),
        _("Send each shop its part, then say here that it is placed."),
    ),
    OrderStep.HAND_OUT: (
        _("Count what came and fill the bags"),
        _("Tick each bag off; print a label for each if you like."),
    ),
}


@dataclass(frozen=True, slots=True)
class StepShown:
    name: Promise
    words: Promise
    done: bool
    now: bool


@dataclass(frozen=True, slots=True)
class WayShown:
    """A way of steps; `href` leads to the next, or is "" where somebody else does it."""

    steps: tuple[StepShown, ...]
    next: StepShown
    href: str


def club_way(steps: FirstSteps) -> WayShown:
    """The secretary's."""
    return _way(steps.done, steps.next, _club_href(steps))


def order_way(order: FirstOrder, *, runs: bool) -> WayShown:
    """A captain's; `runs` says that the secretary's pages are theirs too."""
    return _way(order.done, order.next, _order_href(order, runs=runs))


def _way(done: dict[Step, bool] | dict[OrderStep, bool], now: str, href: str) -> WayShown:
    shown = {
        step: StepShown(*WORDS[step], done=is_done, now=step == now)
        for step, is_done in done.items()
    }
    return WayShown(tuple(shown.values()), shown[now], href)  # type: ignore[index]


def _club_href(steps: FirstSteps) -> str:
    slug, begun = steps.club.slug, steps.begun
    if steps.next == Step.PEOPLE:
        return reverse("desk:book", args=[slug])
    if steps.next == Step.VENUE:
        if begun.venue is None:
            return reverse("desk:venues", args=[slug])
        return reverse("desk:venue", args=[slug, begun.venue.pk])
    if begun.match is None or steps.next == Step.MATCH:
        return reverse("desk:match-new", args=[slug])
    page = {
        Step.ENTER: "entries",
        Step.SECTIONS: "match-pegs",
        Step.DRAW: "draw",
        Step.WEIGH: "weigh",
        Step.PUBLISH: "publish",
    }[steps.next]
    return reverse(f"desk:{page}", args=[begun.match.pk])


def _order_href(order: FirstOrder, *, runs: bool) -> str:
    team, match = order.team, order.has.match
    if order.next == OrderStep.SHOP:
        return reverse("desk:shops", args=[team.club.slug])
    if order.next == OrderStep.TEAM:
        return reverse("desk:book", args=[team.club.slug]) if runs else ""
    if match is None:
        return reverse("desk:home") if runs else ""
    page = {
        OrderStep.PLANS: "team",
        OrderStep.ORDER: "team",
        OrderStep.PLACE: "order",
        OrderStep.HAND_OUT: "order",
    }[order.next]
    return reverse(f"desk:{page}", args=[team.pk, match.pk])
