"""From packs and lots to one bag for each member: whole packs first, then as few splits as may be.

Every amount is an exact fraction of the bait's base unit (litres, kilograms or pieces).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

#: Baits in order of packing: dry mix and soil at the bottom, then particles, then what is dead,
#: live bait last and cool (common practice, no source).
PACKING_ORDER: Final = ("groundbait", "soil", "particle", "other", "dead", "live")


@dataclass(frozen=True, slots=True)
class Source:
    """`count` packs (or one lot) of `amount` each; with a `member` it is theirs alone."""

    key: str
    bait: str
    amount: Fraction
    count: int = 1
    member: str | None = None


@dataclass(frozen=True, slots=True)
class Piece:
    """What a member is given of a source: so many packs whole, and so much of shared ones."""

    member: str
    source: str
    bait: str
    whole: int
    part: Fraction
    amount: Fraction


@dataclass(frozen=True, slots=True)
class Split:
    """One opened pack: who gets how much of it, and what is left over (for the larder)."""

    source: str
    bait: str
    gives: tuple[tuple[str, Fraction], ...]
    left: Fraction


@dataclass(frozen=True, slots=True)
class LeftOver:
    """What nobody needs of a source: whole packs and the rest of an opened one."""

    source: str
    bait: str
    whole: int
    amount: Fraction


@dataclass(frozen=True, slots=True)
class Lacking:
    """What a member goes without, where packs and lots do not cover everybody."""

    member: str
    bait: str
    amount: Fraction


@dataclass(frozen=True, slots=True)
class Bags:
    """Every source given out completely, or named in `left_over`."""

    pieces: tuple[Piece, ...]
    splits: tuple[Split, ...]
    left_over: tuple[LeftOver, ...]
    lacking: tuple[Lacking, ...]


@dataclass(slots=True)
class _Open:
    """A pack as it is handed out."""

    source: Source
    left: Fraction
    gives: list[tuple[str, Fraction]]

    def give(self, member: str, amount: Fraction) -> None:
        self.gives.append((member, amount))
        self.left -= amount


def packing_place(kind: str, *, dead: bool) -> int:
    """Where a bait of that kind stands in `PACKING_ORDER`."""
    name = ("dead" if dead else "live") if kind == "animal" else kind
    return PACKING_ORDER.index(name) if name in PACKING_ORDER else PACKING_ORDER.index("other")


def bags_pack(needs: Mapping[str, Mapping[str, Fraction]], *, sources: Iterable[Source]) -> Bags:
    """Everybody's bag: `needs` holds what each member is to have of each bait.

    First a member's own sources; then whole packs while they fit, the largest first; what is
    still needed comes from as few opened packs as a greedy choice finds: exactly what an opened
    pack still holds, else the fullest fit, else a fresh pack. Where a bait does not reach,
    everybody goes without in proportion to what they still need, and it is named. Nobody is given
    a bait they did not ask for. The order of `sources` does not matter.
    """
    by_bait: dict[str, list[Source]] = {}
    for source in sources:
        by_bait.setdefault(source.bait, []).append(source)
    packs: list[_Open] = []
    lacking: list[Lacking] = []
    for bait in sorted({*by_bait, *(b for mine in needs.values() for b in mine)}):
        wanted = {m: mine[bait] for m, mine in sorted(needs.items()) if mine.get(bait)}
        done, short = _bait_pack(wanted, sources=by_bait.get(bait, []))
        packs += done
        lacking += [Lacking(m, bait, amount) for m, amount in short.items() if amount]
    return Bags(_pieces(packs), _splits(packs), _left_over(packs), tuple(lacking))


def _bait_pack(
    wanted: dict[str, Fraction], *, sources: Sequence[Source]
) -> tuple[list[_Open], dict[str, Fraction]]:
    packs = [
        _Open(source, source.amount, [])
        for source in sorted(sources, key=lambda s: (-s.amount, s.key))
        for _n in range(source.count)
    ]
    need = dict(wanted)
    for pack in packs:
        owner = pack.source.member
        if owner is not None and need.get(owner):
            _give(pack, owner, need=need)
    shared = [pack for pack in packs if pack.source.member is None]
    short = _share_out_shortage(need, have=sum((p.left for p in shared), Fraction(0)))
    _whole_packs_give(shared, need=need)
    _parts_give(shared, need=need)
    return packs, short


def _give(pack: _Open, member: str, *, need: dict[str, Fraction]) -> None:
    amount = min(pack.left, need[member])
    pack.give(member, amount)
    need[member] -= amount


def _share_out_shortage(need: dict[str, Fraction], *, have: Fraction) -> dict[str, Fraction]:
    """Lowers `need` in proportion to what there is; what each goes without."""
    total = sum(need.values(), Fraction(0))
    if total <= have:
        return {}
    short = {m: amount * (total - have) / total for m, amount in need.items()}
    for member, amount in short.items():
        need[member] -= amount
    return short


def _whole_packs_give(packs: Sequence[_Open], *, need: dict[str, Fraction]) -> None:
    """Each pack, largest first, to who needs it to the drop, else to who needs the most."""
    refused: Fraction | None = None  # nobody needs a pack so large; needs only fall
    for pack in packs:
        if refused is not None and pack.left >= refused:
            continue
        exact = [m for m, amount in need.items() if amount == pack.left]
        member = exact[0] if exact else max(need, key=lambda m: need[m], default=None)
        if member is not None and need[member] >= pack.left > 0:
            _give(pack, member, need=need)
        elif pack.left > 0:
            refused = pack.left


def _parts_give(packs: Sequence[_Open], *, need: dict[str, Fraction]) -> None:
    """What is still needed, the largest first, each from as few packs as may be."""
    holding = [pack for pack in packs if pack.left]
    while any(need.values()):
        member = max(need, key=lambda m: need[m])
        _give(_pack_best(_choices(holding), want=need[member]), member, need=need)


def _choices(packs: Iterable[_Open]) -> Iterator[_Open]:
    """Opened packs, and one fresh pack of each source: the others are just like it."""
    fresh: set[str] = set()
    for pack in packs:
        if pack.gives:
            yield pack
        elif pack.source.key not in fresh:
            fresh.add(pack.source.key)
            yield pack


def _pack_best(packs: Iterable[_Open], *, want: Fraction) -> _Open:
    """The pack to take `want` from: left exactly so, open and just large enough, the smallest
    fresh one that is, or the fullest."""
    holding = [pack for pack in packs if pack.left]
    fits = [pack for pack in holding if pack.left >= want]
    if not fits:
        return max(holding, key=lambda pack: pack.left)
    return min(fits, key=lambda pack: (pack.left != want, not pack.gives, pack.left))


def _pieces(packs: Iterable[_Open]) -> tuple[Piece, ...]:
    """One piece for each member and source, by member, then source."""
    whole: dict[tuple[str, str], int] = {}
    part: dict[tuple[str, str], Fraction] = {}
    source_of = {}
    for pack in packs:
        source_of[pack.source.key] = pack.source
        for member, amount in pack.gives:
            at = (member, pack.source.key)
            all_of_it = amount == pack.source.amount
            whole[at] = whole.get(at, 0) + all_of_it
            part[at] = part.get(at, Fraction(0)) + (0 if all_of_it else amount)
    return tuple(
        Piece(
            member,
            key,
            source_of[key].bait,
            whole[member, key],
            part[member, key],
            whole[member, key] * source_of[key].amount + part[member, key],
        )
        for member, key in sorted(whole)
    )


def _splits(packs: Iterable[_Open]) -> tuple[Split, ...]:
    """Every pack that was opened: shared by several, or given in part."""
    return tuple(
        Split(pack.source.key, pack.source.bait, tuple(pack.gives), pack.left)
        for pack in packs
        if pack.gives and (len(pack.gives) > 1 or pack.left)
    )


def _left_over(packs: Iterable[_Open]) -> tuple[LeftOver, ...]:
    left: dict[str, LeftOver] = {}
    for pack in packs:
        if pack.left:
            key, bait = pack.source.key, pack.source.bait
            so_far = left.get(key, LeftOver(key, bait, 0, Fraction(0)))
            whole = so_far.whole + (not pack.gives)
            left[key] = LeftOver(key, bait, whole, so_far.amount + pack.left)
    return tuple(left[key] for key in sorted(left))
