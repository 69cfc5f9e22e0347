"""An order's JSON request, read with every fault pointed at."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable
from fractions import Fraction
from typing import Final, TypeVar

from matches.reckon.reading import Reading, Where

from ..units import MOST_AMOUNT, MOST_DENSITY, UNITS, amount_convert, amount_read
from .request import Demand, OrderRequest, Pack, PriceBreak, Stock, Supplier

MOST_ENTRIES: Final = 5_000
MOST_PACKS: Final = 2_000
MOST_SUPPLIERS: Final = 50
MOST_BREAKS: Final = 20
MOST_COUNT: Final = 10_000
MOST_PRICE: Final = 1_000_000
MOST_TERMS: Final = 10_000_000
Item = TypeVar("Item")


def order_parse(raw: object) -> OrderRequest:
    """The order asked for by the JSON value `raw`.

    Raises BadInput with every fault found and its RFC 6901 pointer.
    """
    reading = Reading()
    body = reading.read_object(
        raw,
        (),
        needs=("demands", "suppliers", "packs"),
        may=("currency", "stock", "baits", "compare_alone"),
    )
    demands = _items(reading, body, "demands", most=MOST_ENTRIES, read=_demand)
    stock = _items(reading, body, "stock", most=MOST_ENTRIES, read=_stock)
    suppliers = _items(reading, body, "suppliers", most=MOST_SUPPLIERS, read=_supplier)
    packs = _items(reading, body, "packs", most=MOST_PACKS, read=_pack)
    baits = _items(reading, body, "baits", most=MOST_ENTRIES, read=_bait)
    currency, alone = body.get("currency", "GBP"), body.get("compare_alone", True)
    request = OrderRequest(
        currency=reading.read_currency(currency, ("currency",)),
        demands=tuple(demands),
        stock=tuple(stock),
        suppliers=tuple(suppliers),
        packs=tuple(packs),
        densities={bait: density for bait, density in baits if density is not None},
        compare_alone=reading.read_flag(alone, ("compare_alone",)),
    )
    _repeats_note(reading, request, baits=[bait for bait, _ in baits])
    if "suppliers" in body:
        _suppliers_note(reading, request)
    if not reading.faults:
        _units_note(reading, request)
    if not reading.faults:
        _sizes_note(reading, request)
    reading.finish()
    return request


def _items(
    reading: Reading,
    body: dict[str, object],
    key: str,
    *,
    most: int,
    read: Callable[[Reading, object, Where], Item],
) -> list[Item]:
    if key not in body:
        return []
    raw = reading.read_list(body[key], (key,))
    if len(raw) > most:
        reading.fault((key,), f"Send at most {most} of these.")
        raw = raw[:most]
    return [read(reading, item, (key, n)) for n, item in enumerate(raw)]


def _demand(reading: Reading, raw: object, where: Where) -> Demand:
    item = reading.read_object(raw, where, needs=("member", "bait", "amount", "unit"))
    return Demand(
        member=_id(reading, item, where, key="member"),
        bait=_id(reading, item, where, key="bait"),
        amount=_amount(reading, item, where),
        unit=_unit(reading, item, where),
    )


def _stock(reading: Reading, raw: object, where: Where) -> Stock:
    item = reading.read_object(raw, where, needs=("bait", "amount", "unit"), may=("member",))
    owned = item.get("member") is not None
    return Stock(
        bait=_id(reading, item, where, key="bait"),
        amount=_amount(reading, item, where),
        unit=_unit(reading, item, where),
        member=_id(reading, item, where, key="member") if owned else None,
    )


def _supplier(reading: Reading, raw: object, where: Where) -> Supplier:
    terms = ("delivery_fee", "minimum_spend", "free_delivery_from")
    item = reading.read_object(raw, where, needs=("id",), may=terms)
    fee, minimum, free = (_terms(reading, item, where, key=key) for key in terms)
    return Supplier(
        id=_id(reading, item, where, key="id"), fee=fee or 0, minimum=minimum or 0, free_from=free
    )


def _bait(reading: Reading, raw: object, where: Where) -> tuple[str, Fraction | None]:
    item = reading.read_object(raw, where, needs=("id",), may=("bulk_density_kg_per_l",))
    raw_density = item.get("bulk_density_kg_per_l")
    density = None
    if raw_density is not None:
        place = (*where, "bulk_density_kg_per_l")
        density = reading.read_decimal(raw_density, place, most=MOST_DENSITY)
    return _id(reading, item, where, key="id"), density


def _pack(reading: Reading, raw: object, where: Where) -> Pack:
    item = reading.read_object(
        raw,
        where,
        needs=("id", "supplier", "bait", "amount", "unit", "price"),
        may=("breaks", "max_packs", "bought"),
    )
    most = _count(reading, item, where, key="max_packs")
    bought = _count(reading, item, where, key="bought") or 0
    if most is not None and bought > most:
        reading.fault(
            (*where, "bought"), f"At most {most} may be bought: raise max_packs or lower this."
        )
    faults = len(reading.faults)
    price = _price(reading, item, where)
    first = price if len(reading.faults) == faults and "price" in item else MOST_PRICE
    return Pack(
        id=_id(reading, item, where, key="id"),
        supplier=_id(reading, item, where, key="supplier"),
        bait=_id(reading, item, where, key="bait"),
        amount=_amount(reading, item, where, zero=False),
        unit=_unit(reading, item, where),
        price=price,
        breaks=_breaks(reading, item.get("breaks"), (*where, "breaks"), price=first),
        max_packs=most,
        bought=bought,
    )


def _count(reading: Reading, item: dict[str, object], where: Where, *, key: str) -> int | None:
    raw = item.get(key)
    if raw is None:
        return None
    return reading.read_whole(raw, (*where, key), least=0, most=MOST_COUNT)


def _breaks(reading: Reading, raw: object, where: Where, *, price: int) -> tuple[PriceBreak, ...]:
    if raw is None:
        return ()
    entries = reading.read_list(raw, where)
    if len(entries) > MOST_BREAKS:
        reading.fault(where, f"Send at most {MOST_BREAKS} of these.")
        entries = entries[:MOST_BREAKS]
    found: list[PriceBreak] = []
    before = PriceBreak(1, price)
    for n, entry in enumerate(entries):
        faults = len(reading.faults)
        item = reading.read_object(entry, (*where, n), needs=("from_packs", "price"))
        place = (*where, n, "from_packs")
        from_packs = before.from_packs + 1
        if "from_packs" in item:
            from_packs = reading.read_whole(item["from_packs"], place, least=2, most=MOST_COUNT)
        now = PriceBreak(from_packs, _price(reading, item, (*where, n)))
        if len(reading.faults) > faults:
            continue
        if now.from_packs <= before.from_packs:
            reading.fault(place, "Give the breaks in order, each from more packs than the last.")
        elif now.price > before.price:
            reading.fault((*where, n, "price"), "A break cannot be dearer than what comes before.")
        found.append(now)
        before = now
    return tuple(found)


def _id(reading: Reading, item: dict[str, object], where: Where, *, key: str) -> str:
    return reading.read_id(item[key], (*where, key)) if key in item else ""


def _unit(reading: Reading, item: dict[str, object], where: Where) -> str:
    return reading.read_word(item["unit"], (*where, "unit"), words=UNITS) if "unit" in item else "L"


def _amount(
    reading: Reading, item: dict[str, object], where: Where, *, zero: bool = True
) -> Fraction:
    if "amount" not in item:
        return Fraction(1)
    value = amount_read(item["amount"], zero=zero)
    if value is not None:
        return value
    least = "from 0" if zero else "above 0"
    reading.fault(
        (*where, "amount"),
        f'Write the amount as a string such as "2.5", {least} up to {MOST_AMOUNT}, '
        "with at most four places.",
    )
    return Fraction(1)


def _price(reading: Reading, item: dict[str, object], where: Where) -> int:
    if "price" not in item:
        return 0
    return _money(reading, item["price"], (*where, "price"), most=MOST_PRICE)


def _terms(reading: Reading, item: dict[str, object], where: Where, *, key: str) -> int | None:
    raw = item.get(key)
    return None if raw is None else _money(reading, raw, (*where, key), most=MOST_TERMS)


def _money(reading: Reading, raw: object, where: Where, *, most: int) -> int:
    pence = reading.read_money(raw, where)
    if pence > most:
        reading.fault(where, f"This must be at most {most // 100}.00.")
    return pence


def _repeats_note(reading: Reading, request: OrderRequest, *, baits: list[str]) -> None:
    for key, ids in (
        ("suppliers", [s.id for s in request.suppliers]),
        ("packs", [p.id for p in request.packs]),
        ("baits", baits),
    ):
        reading.note_repeats(
            ((name, (key, n, "id")) for n, name in enumerate(ids)),
            message="This id is in the list already: give each its own.",
        )


def _suppliers_note(reading: Reading, request: OrderRequest) -> None:
    known = {s.id for s in request.suppliers}
    for n, pack in enumerate(request.packs):
        if pack.supplier and pack.supplier not in known and "" not in known:
            reading.fault(
                ("packs", n, "supplier"), "No supplier has this id: add it to the suppliers."
            )


def _units_note(reading: Reading, request: OrderRequest) -> None:
    """Everything said of one bait must fit the unit in which it is first spoken of."""
    first: dict[str, str] = {}
    lists: tuple[tuple[str, tuple[Demand | Stock | Pack, ...]], ...] = (
        ("demands", request.demands),
        ("stock", request.stock),
        ("packs", request.packs),
    )
    for key, entries in lists:
        for n, entry in enumerate(entries):
            unit = first.setdefault(entry.bait, entry.unit)
            density = request.densities.get(entry.bait)
            if amount_convert(entry.amount, unit=entry.unit, to=unit, density=density) is None:
                reading.fault(
                    (key, n, "unit"),
                    f"“{entry.unit}” does not fit “{entry.bait}”, which is asked for in “{unit}”: "
                    "use a unit of that sort, or give the bait a bulk_density_kg_per_l.",
                )


def _sizes_note(reading: Reading, request: OrderRequest) -> None:
    """Refuse packs so small that nobody would carry what they come to."""
    wanted: dict[str, dict[str, Fraction]] = defaultdict(lambda: defaultdict(Fraction))
    for demand in request.demands:
        wanted[demand.bait][demand.unit] += demand.amount
    for n, pack in enumerate(request.packs):
        density = request.densities.get(pack.bait)
        total = Fraction(0)
        for unit, amount in wanted.get(pack.bait, {}).items():
            total += amount_convert(amount, unit=unit, to=pack.unit, density=density) or 0
        if total > pack.amount * MOST_COUNT:
            reading.fault(
                ("packs", n, "amount"),
                f"More than {MOST_COUNT} of these would be needed: check the amounts.",
            )
