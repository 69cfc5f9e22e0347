"""What stands, worked out from facts alone: no database here.

Facts form chains: a weigh-in, its correction, the correction's correction. The ends of the chains
are in force. Nothing here asks in which order facts came, but for one thing: while two cannot
both stand, the one received first does.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any
from uuid import UUID

from matches.models import DisagreementKind
from matches.reckon.counting import Fish

Key = tuple[str, int | None]  # peg and net
DisputeKey = tuple[str, str, int | None]  # kind of disagreement, peg and net


@dataclass(frozen=True, slots=True)
class Logged:
    """A stored weigh-in, or a scratch (`net` and `weight` None) that withdraws one."""

    id: UUID
    cseq: int
    author: int
    peg: str
    net: int | None
    weight: int | None
    supersedes: UUID | None
    fish: Fish | None = None

    @property
    def key(self) -> Key:
        return (self.peg, self.net)

    @property
    def is_scratch(self) -> bool:
        return self.weight is None


@dataclass(frozen=True, slots=True)
class Circumstances:
    """What beside the facts decides: who may correct others, the draw, and past rulings.

    `held`: late facts without effect, whether still to settle or ruled against.
    `ruled_out`: facts a ruling did not choose. `acknowledged`: undrawn pegs ruled on.
    """

    officials: frozenset[int] = frozenset()
    drawn: frozenset[str] = frozenset()
    held: frozenset[UUID] = frozenset()
    ruled_out: frozenset[UUID] = frozenset()
    acknowledged: frozenset[UUID] = frozenset()


@dataclass(frozen=True, slots=True)
class Leaf:
    """A weigh-in in force (never a scratch), and whether it is the one that is placed."""

    fact: Logged
    stands: bool
    fish: Fish | None = None

    @property
    def net(self) -> int:
        return self.fact.net or 0

    @property
    def weight(self) -> int:
        return self.fact.weight or 0


@dataclass(slots=True)
class Standing:
    """What a match's weigh-ins come to: those in force, the facts of each disagreement, and the
    facts that wait for one they correct to arrive."""

    leaves: list[Leaf] = field(default_factory=list)
    disputes: dict[DisputeKey, set[UUID]] = field(default_factory=lambda: defaultdict(set))
    waiting: set[UUID] = field(default_factory=set)


@dataclass(frozen=True, slots=True)
class _Claim:
    """The end of one branch. `since` is when it (or what it corrects, there) first claimed the net;
    `branch` orders the branches of one fork by arrival."""

    fact: Logged
    since: int
    branch: tuple[int, ...]


@dataclass(slots=True)
class _Tree:
    """One first weigh-in and all that corrects it."""

    root: Logged
    fork: Logged | None = None
    ends: list[_Claim] = field(default_factory=list)


def standing_of(facts: Iterable[Logged], *, given: Circumstances) -> Standing:
    """What stands of `facts`; they must hold whole chains and whole pegs."""
    ordered = sorted(facts, key=lambda f: f.cseq)
    trees, reached = _trees_grow(ordered, given)
    out = Standing(waiting={f.id for f in ordered} - reached)
    claims: dict[Key, list[_Claim]] = defaultdict(list)
    beside: list[Logged] = []
    for tree in trees:
        _tree_settle(tree, given, out, claims, beside)
    for key, rivals in claims.items():
        rivals.sort(key=lambda c: (c.since, c.fact.cseq))
        if _disagree([c.fact for c in rivals]):
            out.disputes[(DisagreementKind.TWO_WEIGHTS, *key)] |= {c.fact.id for c in rivals}
        fish = _fish_known(rivals[0].fact, [c.fact for c in rivals])
        out.leaves.append(Leaf(rivals[0].fact, stands=True, fish=fish))
        out.leaves += [Leaf(c.fact, stands=False, fish=c.fact.fish) for c in rivals[1:]]
    out.leaves += [Leaf(fact, stands=False, fish=fact.fish) for fact in beside]
    _undrawn_note(out, given)
    return out


def fish_said(raw: list[list[Any]] | None) -> Fish | None:
    """The fish of a body so that equals are equal: in the order of their names, no noughts."""
    if raw is None:
        return None
    return tuple(sorted((species, count) for species, count in raw if count))


def _disagree(facts: list[Logged]) -> bool:
    """Whether they say different weights, or count different fish; fish left out say nothing."""
    fish = {f.fish for f in facts if f.fish is not None}
    return len({f.weight for f in facts}) > 1 or len(fish) > 1


def _fish_known(stands: Logged, facts: list[Logged]) -> Fish | None:
    """Its fish; where it left them out, those of the first beside it with the same weight."""
    same = (f.fish for f in facts if f.weight == stands.weight and f.fish is not None)
    return stands.fish if stands.fish is not None else next(same, None)


def _trees_grow(facts: list[Logged], given: Circumstances) -> tuple[list[_Tree], set[UUID]]:
    """Every chain from its first weigh-in down, and which facts were reached.

    What corrects a fact that is not here, or one that waits itself, is not reached: it waits.
    """
    known = {f.id: f for f in facts}
    after: dict[UUID, list[Logged]] = defaultdict(list)
    for f in facts:
        if f.supersedes in known and not known[f.supersedes].is_scratch:
            after[f.supersedes].append(f)
    trees: list[_Tree] = []
    reached: set[UUID] = set()
    todo = [(f, None, f.cseq, ()) for f in facts if f.supersedes is None and not f.is_scratch]
    stack: list[tuple[Logged, _Tree | None, int, tuple[int, ...]]] = list(reversed(todo))
    while stack:
        fact, tree, since, branch = stack.pop()
        reached.add(fact.id)
        if tree is None and fact.id not in given.held:
            tree = _Tree(fact)
            trees.append(tree)
        nexts = after[fact.id]
        linked = [f for f in nexts if tree and _corrects(f, fact, given)]
        if tree and len(linked) > 1:
            tree.fork = tree.fork or fact
        for f in nexts:
            if f not in linked:
                if f.is_scratch:  # held, or not theirs to withdraw: without effect
                    reached.add(f.id)
                else:
                    stack.append((f, None, f.cseq, ()))
                continue
            of_branch = (*branch, f.cseq) if len(linked) > 1 else branch
            same = f.key == fact.key and fact.id not in given.ruled_out
            if f.is_scratch and tree:
                reached.add(f.id)
                tree.ends.append(_Claim(f, since, of_branch))
            else:
                stack.append((f, tree, since if same else f.cseq, of_branch))
        if tree and not linked:
            tree.ends.append(_Claim(fact, since, branch))
    return trees, reached


def _corrects(later: Logged, earlier: Logged, given: Circumstances) -> bool:
    """Whether `later` takes the place of `earlier`. Somebody else's correction only disagrees."""
    return later.id not in given.held and (
        later.author == earlier.author or later.author in given.officials
    )


def _tree_settle(
    tree: _Tree,
    given: Circumstances,
    out: Standing,
    claims: dict[Key, list[_Claim]],
    beside: list[Logged],
) -> None:
    """Put the tree's first branch among the claims, the others beside; note a true fork."""
    live = sorted(
        (c for c in tree.ends if c.fact.id not in given.ruled_out), key=lambda c: c.branch
    )
    beside += [c.fact for c in tree.ends if c.fact.id in given.ruled_out and not c.fact.is_scratch]
    if not live:
        return
    if tree.fork and len({_effect(c.fact) for c in live}) > 1:
        key: DisputeKey = (DisagreementKind.TWO_CORRECTIONS, *tree.fork.key)
        out.disputes[key] |= {c.fact.id for c in live}
    first = live[0]
    if not first.fact.is_scratch:
        claims[first.fact.key].append(first)
    beside += [c.fact for c in live[1:] if not c.fact.is_scratch]


def _effect(fact: Logged) -> tuple[str, int | None, int | None, Fish | None] | None:
    return None if fact.is_scratch else (fact.peg, fact.net, fact.weight, fact.fish)


def _undrawn_note(out: Standing, given: Circumstances) -> None:
    settled = given.ruled_out | given.acknowledged
    for leaf in out.leaves:
        if leaf.fact.peg not in given.drawn and leaf.fact.id not in settled:
            key: DisputeKey = (DisagreementKind.UNDRAWN_PEG, *leaf.fact.key)
            out.disputes[key].add(leaf.fact.id)
