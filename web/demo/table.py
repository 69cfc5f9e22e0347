"""The order as a table for the terminal."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from django.utils.translation import gettext as _

from bait.models import OrderVersion
from matches.reckon.decimals import decimal_plain
from matches.reckon.money import pence_format

Row = Sequence[str]


def order_lines(version: OrderVersion) -> Iterator[str]:
    """The lines to print: packs by shop, the total, each member's share, and the proof."""
    yield from table(
        (_("Shop"), _("Bait"), _("Pack"), _("Packs"), _("Each"), _("Cost")), _pack_rows(version)
    )
    yield ""
    for words, pence in (
        (_("Goods"), version.goods_pence),
        (_("Delivery"), version.delivery_pence),
        (_("Total"), version.total_pence),
    ):
        yield f"{words:<12}{pence_format(pence):>10} {version.order.team.club.currency}"
    yield ""
    yield from table((_("Member"), _("Share"), _("Alone"), _("Saved")), _share_rows(version))
    yield ""
    yield proof_sentence(version)


def proof_sentence(version: OrderVersion) -> str:
    """What is known of the total: proved least, short of something, or best so far."""
    proof = version.answer["proof"]
    if version.status == "optimal":
        return _("Proved: no order costs less than %(bound)s (gap %(gap)s).") % {
            "bound": proof["lower_bound"],
            "gap": proof["gap"],
        }
    if version.status == "short":
        baits = ", ".join(str(short["bait"]) for short in version.answer["short"])
        return _("Not everything can be had: %(baits)s.") % {"baits": baits}
    return _("The best found in time; none can cost less than %(bound)s.") % {
        "bound": proof["lower_bound"]
    }


def table(heads: Row, rows: Sequence[Row]) -> Iterator[str]:
    """Columns wide enough for what is in them; those of figures stand to the right."""
    widths = [max(len(row[i]) for row in (heads, *rows)) for i in range(len(heads))]
    right = [all(_is_figure(row[i]) for row in rows) for i in range(len(heads))]
    for n, row in enumerate((heads, *rows)):
        cells = (
            cell.rjust(width) if figures else cell.ljust(width)
            for cell, width, figures in zip(row, widths, right, strict=True)
        )
        yield "  ".join(cells).rstrip()
        if n == 0:
            yield "  ".join("─" * width for width in widths)


def _is_figure(cell: str) -> bool:
    return cell.replace(".", "").replace("-", "").replace("–", "").isdigit() or cell == "–"


def _pack_rows(version: OrderVersion) -> list[Row]:
    return [
        (
            line.pack.shop.name,
            line.pack.bait.name,
            f"{decimal_plain(line.pack.amount)} {line.pack.unit}",
            str(line.packs),
            pence_format(line.unit_price_pence),
            pence_format(line.cost_pence),
        )
        for line in version.lines.all()
    ]


def _share_rows(version: OrderVersion) -> list[Row]:
    return [
        (
            share.angler.name,
            pence_format(share.due_pence),
            "–" if share.alone_pence is None else pence_format(share.alone_pence),
            "–" if share.alone_pence is None else pence_format(share.alone_pence - share.due_pence),
        )
        for share in version.shares.all()
    ]
