"""Why an order is as it is, in a captain's words. Nothing is worked out here, only said."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from bait.reads.explanations import Names
from bait.reckon.units import amount_down
from web.templatetags.money import amount, left, money, unit_of

CHANGES_TOLD = 4
Rows = list[dict[str, str]]


class WhyWords:
    """Sentences from an explanation's JSON, with the names behind its ids."""

    def __init__(self, names: Names, *, currency: str) -> None:
        self.names, self.currency = names, currency

    def line_name(self, line: Mapping[str, Any]) -> str:
        """ "10 × Caster, 1 pint, Hobday's Hut"."""
        return self._count(line["pack"], line["packs"])

    def line_words(self, line: Mapping[str, Any]) -> list[str]:
        """Why so many of this pack: its breaks, and the order without it."""
        said = []
        if line["bought"]:
            said.append(
                ngettext("%(n)d is bought already.", "%(n)d are bought already.", line["bought"])
                % {"n": line["bought"]}
            )
        if line["reached"]:
            said.append(self._reached(line, step=line["reached"]))
        if line["ahead"] and pence(line["ahead"]["cost"]) >= pence(line["cost"]):
            said.append(self._ahead(line, step=line["ahead"]))
        if line["without"]:
            said.append(self._without(line["without"]))
        elif line["bought"] >= line["packs"]:
            said.append(_("All of it is bought already, so there is nothing left to choose."))
        return [words.strip() for words in said]

    def _reached(self, line: Mapping[str, Any], *, step: Mapping[str, Any]) -> str:
        """What the price break did that this line has reached."""
        values = {
            "from": step["from_packs"],
            "price": self._money(step["price"]),
            "before": self._money(step["price_before"]),
            "n": line["packs"],
            "cost": self._money(line["cost"]),
            "fewer": step["from_packs"] - 1,
            "cost_fewer": self._money(step["cost_one_fewer"]),
            "last": self._money(step["last_costs"]),
            "would": money(line["packs"] * pence(step["price_before"]), self.currency),
        }
        if line["packs"] > step["from_packs"]:
            said = _(
                "From %(from)d on each costs %(price)s instead of %(before)s: %(n)d are %(cost)s "
                "where they would have been %(would)s."
            )
        elif pence(step["last_costs"]) < 0:
            said = _(
                "From %(from)d on each costs %(price)s, so the last one costs less than nothing: "
                "%(fewer)d would be %(cost_fewer)s, %(n)d are %(cost)s."
            )
        elif pence(step["last_costs"]) == 0:
            said = _(
                "From %(from)d on each costs %(price)s, so the last one costs nothing: %(fewer)d "
                "would be %(cost_fewer)s, and so are %(n)d."
            )
        else:
            said = _(
                "From %(from)d on each costs %(price)s, so the last one costs only %(last)s: "
                "%(fewer)d would be %(cost_fewer)s, %(n)d are %(cost)s."
            )
        return said % values

    def _ahead(self, line: Mapping[str, Any], *, step: Mapping[str, Any]) -> str:
        """Why the next break is not taken."""
        return _(
            "From %(from)d on each would cost %(price)s, but %(from)d are %(cost)s: %(more)s more "
            "than these %(n)d. Taken by itself, going up pays once %(pays)d are needed."
        ) % {
            "from": step["from_packs"],
            "price": self._money(step["price"]),
            "cost": self._money(step["cost"]),
            "more": money(pence(step["cost"]) - pence(line["cost"]), self.currency),
            "n": line["packs"],
            "pays": step["pays_from"],
        }

    def _without(self, order: Mapping[str, Any]) -> str:
        if order["missing"]:
            return _("Without it there is not enough to be had: %(missing)s would be missing.") % {
                "missing": self.amounts(order["missing"])
            }
        if not pence(order["difference"]):
            return _("Another order costs just as much. %(changes)s") % {
                "changes": self.changes(order)
            }
        return _("Without it the order costs %(more)s more. %(changes)s") % {
            "more": self._money(order["difference"]),
            "changes": self.changes(order),
        }

    def shop_words(self, shop: Mapping[str, Any]) -> list[str]:
        """What the shop's terms do, and the order without the shop."""
        said = []
        if shop["dropped"]:
            said.append(self._dropped(shop["dropped"]))
        if shop["without_minimum"]:
            said.append(self._minimum(shop, order=shop["without_minimum"]))
        if shop["without_free_delivery"]:
            said.append(self._free(shop, order=shop["without_free_delivery"]))
        free, goods = shop["free_delivery_from"], pence(shop["goods"])
        if goods and free and pence(shop["delivery"]) and goods < pence(free):
            said.append(
                _(
                    "%(more)s more of goods would make delivery free, "
                    "but no order with it is cheaper."
                )
                % {"more": money(pence(free) - goods, self.currency)}
            )
        return [words.strip() for words in said]

    def _dropped(self, order: Mapping[str, Any]) -> str:
        if order["missing"]:
            return _("Without this shop %(missing)s could not be had.") % {
                "missing": self.amounts(order["missing"])
            }
        if not pence(order["difference"]):
            return _("Without this shop the order costs just as much. %(changes)s") % {
                "changes": self.changes(order)
            }
        return _("Without this shop the order costs %(more)s more. %(changes)s") % {
            "more": self._money(order["difference"]),
            "changes": self.changes(order),
        }

    def _minimum(self, shop: Mapping[str, Any], *, order: Mapping[str, Any]) -> str:
        if order["gained"]:
            return _("Without its minimum spend of %(minimum)s %(gained)s could be had.") % {
                "minimum": self._money(shop["minimum_spend"]),
                "gained": self.amounts(order["gained"]),
            }
        saved = -pence(order["difference"] or "0")
        values = {
            "minimum": self._money(shop["minimum_spend"]),
            "saved": money(saved, self.currency),
            "changes": self.changes(order),
        }
        if not saved:
            return _("Its minimum spend of %(minimum)s costs nothing.") % values
        if not pence(shop["goods"]):
            return (
                _(
                    "Nothing is bought here because of the minimum spend of %(minimum)s: without "
                    "it the order would be %(saved)s cheaper. %(changes)s"
                )
                % values
            )
        return (
            _(
                "Its minimum spend of %(minimum)s costs %(saved)s: so much cheaper would the order "
                "be without it. %(changes)s"
            )
            % values
        )

    def _free(self, shop: Mapping[str, Any], *, order: Mapping[str, Any]) -> str:
        values = {
            "from": self._money(shop["free_delivery_from"]),
            "more": self._money(order["difference"] or "0.00"),
            "changes": self.changes(order),
        }
        if not order["changes"]:
            said = _("Delivery is free from %(from)s, which saves %(more)s.")
        else:
            said = _(
                "Delivery is free from %(from)s. Without that the order would cost %(more)s more. "
                "%(changes)s"
            )
        return said % values

    def changes(self, order: Mapping[str, Any], *, about: str = "") -> str:
        """What would be bought instead: "Then: 4 × …; no …."; empty where nothing changes.

        `about`: the name of a bait that the reader has before them, and is not said again.
        """
        rows = sorted(order["changes"], key=lambda c: (c["after"] < c["before"], c["pack"]))
        told = [self._change(change, about=about) for change in rows[:CHANGES_TOLD]]
        fees = pence(order["delivery_difference"])
        if fees:
            words = _("%(sum)s more for delivery") if fees > 0 else _("%(sum)s less for delivery")
            told.append(words % {"sum": money(abs(fees), self.currency)})
        left = len(rows) - len(rows[:CHANGES_TOLD])
        if left > 0:
            told.append(
                ngettext("and %(n)d more line changes", "and %(n)d more lines change", left)
                % {"n": left}
            )
        return _("Then: %(changes)s.") % {"changes": "; ".join(told)} if told else ""

    def _change(self, change: Mapping[str, Any], *, about: str) -> str:
        if not change["after"]:
            return _("no %(pack)s") % {"pack": self._pack(change["pack"], about=about)}
        count = self._count(change["pack"], change["after"], about=about)
        if not change["before"]:
            return count
        return _("%(count)s instead of %(before)d") % {"count": count, "before": change["before"]}

    def amounts(self, rows: Rows) -> str:
        """ "2.5 pints of Caster, 1 kg of River mix"."""
        return ", ".join(
            self._amount(row["bait"], amount(row["amount"]), unit=row["unit"], of=row["amount"])
            for row in rows
        )

    def _amount(self, key: str, said: str, *, unit: str, of: Fraction | str) -> str:
        values = {"amount": said, "unit": unit_of(unit, of), "bait": self.names.bait(key)}
        return _("%(amount)s %(unit)s of %(bait)s") % values

    def left_over(self, rows: Rows) -> list[str]:
        """ "0.5 pints of Caster", "0.1 L of Worm": bait by bait, each in its own unit."""
        return [self._left(key, found) for key, found in self._left_by_bait(rows).items()]

    def left_over_beside(self, rows: Rows, *, other: Rows) -> list[str]:
        """The same of what differs from another order's; "no Worm" where only that has some."""
        mine, others = self._left_by_bait(rows), self._left_by_bait(other)
        told = [self._left(key, found) for key, found in mine.items() if others.get(key) != found]
        gone = [key for key in others if key not in mine]
        return told + [_("no %(bait)s") % {"bait": self.names.bait(key)} for key in gone]

    def _left_by_bait(self, rows: Rows) -> dict[str, tuple[str, str, Fraction]]:
        """What people would call left, with its unit, by bait; next to nothing is nothing."""
        found = {}
        for row in rows:
            exact, unit = self.names.own_amount(row["bait"], row["amount"], unit=row["unit"])
            if (said := left(exact, unit)) != "0":
                found[row["bait"]] = (said, unit, amount_down(exact, unit=unit))
        return found

    def _left(self, key: str, found: tuple[str, str, Fraction]) -> str:
        said, unit, of = found
        return self._amount(key, said, unit=unit, of=of)

    def left_out(self, figures: list[dict[str, str]]) -> list[str]:
        """What the time did not allow, one sentence a sort of figure."""
        by_sort: dict[str, list[str]] = {}
        for figure in figures:
            by_sort.setdefault(figure["figure"], []).append(figure["of"])
        return [self._left_out(sort, of=of) for sort, of in by_sort.items()]

    def _left_out(self, sort: str, *, of: list[str]) -> str:
        name = {
            "only": self.names.shop,
            "dropped": self.names.shop,
            "minimum": self.names.shop,
            "free_delivery": self.names.shop,
            "one_more": self.names.bait,
            "one_less": self.names.bait,
            "without": self._pack,
        }.get(sort, str)
        words = {
            "base": _("the least order itself"),
            "soonest": _("the order that is ready soonest"),
            "only": _("an order from one shop only: %(of)s"),
            "dropped": _("the order without a shop: %(of)s"),
            "minimum": _("what a minimum spend costs: %(of)s"),
            "free_delivery": _("what free delivery saves: %(of)s"),
            "one_more": _("one more of: %(of)s"),
            "one_less": _("one less of: %(of)s"),
            "without": _("the order without a pack: %(of)s"),
        }[sort]
        return words % {"of": "; ".join(name(key) for key in of)} if "%(of)s" in words else words

    def _count(self, pack: str, packs: int, *, about: str = "") -> str:
        return _("%(n)d × %(pack)s") % {"n": packs, "pack": self._pack(pack, about=about)}

    def _pack(self, key: str, *, about: str = "") -> str:
        pack = self.names.packs[key]
        size = f"{amount(pack.amount)} {unit_of(pack.unit, pack.amount)}, {pack.shop}"
        return size if pack.bait == about else f"{pack.bait}, {size}"

    def _money(self, text: str) -> str:
        return money(pence(text), self.currency)


def pence(text: str) -> int:
    """Pence in a decimal string, which may be below zero."""
    whole, _point, places = text.lstrip("-").partition(".")
    return (-1 if text.startswith("-") else 1) * (int(whole) * 100 + int(places or 0))
