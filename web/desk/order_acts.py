"""What a captain presses on the order page: read, done by one write, answered in a sentence."""

from __future__ import annotations

from collections.abc import Callable

from django.http import HttpRequest, QueryDict
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from bait.models import Order, OrderVersion
from bait.reads.orders import order_of, version_of
from bait.reads.plan_shown import team_plans
from bait.writes.order_life import (
    change_accept,
    change_take_back,
    order_bag,
    order_bag_back,
    order_receive,
    order_receive_back,
    order_settle,
    order_settle_back,
)
from bait.writes.order_marks import shop_back, shop_leave_out, sold_out_mark, sold_out_unmark
from bait.writes.orders import order_ask, order_place, order_withdraw
from bait.writes.plan_spare import plans_spare_set
from matches.models import Match, Person, Team
from matches.problems import Code, Problem
from web.people import person_of

from .came_form import came_read
from .form_numbers import whole_typed
from .undo import Done

Act = Callable[[Person, Order, QueryDict], str | Done]


def order_act(request: HttpRequest, team: Team, *, match: Match) -> str | Done:
    """Do what was pressed; what to say of it, nothing for a request to work it out.

    Raises Problem, and BadInput for a count that is none.
    """
    person, do = person_of(request), request.POST.get("do", "")
    if do == "ask":
        order_ask(person, team=team, match=match)
        return ""
    if do == "spare":
        return _spare(person, team, match=match, sent=request.POST)
    order = order_of(team, match=match)
    if order is None:
        raise Problem(Code.NOT_FOUND, _("Nothing is ordered yet: work out the order first."))
    act = _ACTS.get(do)
    if act is None:
        raise Problem(Code.BAD_INPUT, _("Press one of the buttons on the page."))
    return act(person, order, request.POST)


def _spare(person: Person, team: Team, *, match: Match, sent: QueryDict) -> str:
    percent = whole_typed(sent.get("percent", ""))
    if percent is None:
        raise Problem(Code.BAD_INPUT, _("Take 0 to 100 percent spare."))
    changed = plans_spare_set(
        person, team=team, match=match, percent=percent, mark=sent.get("mark", "")
    )
    order_ask(person, team=team, match=match)
    over = sum(shown.over for shown in team_plans(team, match=match))
    words = ngettext(
        "%(n)d plan has %(percent)d %% spare now. The order is being worked out again.",
        "%(n)d plans have %(percent)d %% spare now. The order is being worked out again.",
        changed,
    ) % {"n": changed, "percent": percent}
    if not over:
        return words
    more = ngettext(
        "%(n)d plan of the team is over a limit: look under Plans.",
        "%(n)d plans of the team are over a limit: look under Plans.",
        over,
    )
    return f"{words} {more % {'n': over}}"


def _version(order: Order, sent: QueryDict) -> OrderVersion:
    return version_of(order, number=sent.get("version", ""))


def _undo(order: Order, said: str, **fields: str) -> Done:
    return Done(said, reverse("desk:order", args=[order.team_id, order.match_id]), fields)


def _place(person: Person, order: Order, sent: QueryDict) -> str | Done:
    version = _version(order, sent)
    order_place(person, order=order, version=version)
    words = _("Version %(n)d counts as placed. Send each shop its part, if you have not yet.")
    said = words % {"n": version.number}
    return _undo(order, said, do="withdraw", version=str(version.number))


def _withdraw(person: Person, order: Order, sent: QueryDict) -> str:
    order_withdraw(person, order=order, version=_version(order, sent))
    return _("Nothing counts as placed now. Tell the shops as well.")


def _accept(person: Person, order: Order, sent: QueryDict) -> str:
    version = _version(order, sent)
    change_accept(person, order=order, version=version)
    words = _("Version %(n)d counts as placed now. Send each shop its change, if you have not yet.")
    return words % {"n": version.number}


def _take_back(person: Person, order: Order, sent: QueryDict) -> str:
    change_take_back(person, order=order, version=_version(order, sent))
    return _("The change is taken back: what was placed before counts again. Tell the shops.")


def _sold_out(person: Person, order: Order, sent: QueryDict) -> str:
    packs = _whole(sent.get("packs", "0") or "0")
    sold_out_mark(person, order=order, pack_id=_whole(sent.get("pack", "")), packs=packs)
    return _("Marked. The rest is being worked out again; what is bought stays bought.")


def _not_sold_out(person: Person, order: Order, sent: QueryDict) -> str:
    sold_out_unmark(person, order=order, pack_id=_whole(sent.get("pack", "")))
    return _("The mark is gone. The order is being worked out again.")


def _leave_out(person: Person, order: Order, sent: QueryDict) -> str:
    shop_leave_out(person, order=order, shop_id=_whole(sent.get("shop", "")))
    return _("Nothing more is bought there. The rest is being worked out again.")


def _shop_back(person: Person, order: Order, sent: QueryDict) -> str:
    shop_back(person, order=order, shop_id=_whole(sent.get("shop", "")))
    return _("The shop is bought from again. The order is being worked out again.")


def _receive(person: Person, order: Order, sent: QueryDict) -> str | Done:
    version = _version(order, sent)
    order_receive(person, order=order, version=version, lines=came_read(sent))
    said = _("Kept as it came. Only what came is charged; now fill the bags.")
    return _undo(order, said, do="receive-back")


def _receive_back(person: Person, order: Order, sent: QueryDict) -> str:
    order_receive_back(person, order=order)
    return _("Nothing counts as come now. What you wrote stands in the fields: mend and keep it.")


def _bag(person: Person, order: Order, sent: QueryDict) -> str | Done:
    order_bag(person, order=order)
    said = _("The bags are filled, and what they took has left the larder.")
    return _undo(order, said, do="bag-back")


def _bag_back(person: Person, order: Order, sent: QueryDict) -> str:
    order_bag_back(person, order=order)
    return _("The bags are open again, and what they took is back in the larder.")


def _settle(person: Person, order: Order, sent: QueryDict) -> str | Done:
    order_settle(person, order=order)
    said = _("Settled: every shop is paid and nobody owes anybody.")
    return _undo(order, said, do="settle-back")


def _settle_back(person: Person, order: Order, sent: QueryDict) -> str:
    order_settle_back(person, order=order)
    return _("The kitty is open again.")


def _whole(typed: str) -> int:
    """A whole number as it was typed. Raises Problem BAD_INPUT."""
    number = whole_typed(typed)
    if number is None:
        raise Problem(Code.BAD_INPUT, _("Write a whole number of packs, from 0 up."))
    return number


_ACTS: dict[str, Act] = {
    "place": _place,
    "withdraw": _withdraw,
    "accept": _accept,
    "take-back": _take_back,
    "sold-out": _sold_out,
    "not-sold-out": _not_sold_out,
    "leave-out": _leave_out,
    "shop-back": _shop_back,
    "receive": _receive,
    "receive-back": _receive_back,
    "bag": _bag,
    "bag-back": _bag_back,
    "settle": _settle,
    "settle-back": _settle_back,
}
