"""The draw: committed to, held, checked by anyone, and drawn again only with a reason."""

from __future__ import annotations

import hashlib
from typing import Any

import pytest

from matches.models import AuditEntry, Draw, DrawnPeg, Entry, EntryStatus, MatchState, Peg
from matches.problems import Code, Problem
from matches.reckon.draw import draw_parse, draw_work_out
from matches.reckon.errors import BadInput
from matches.writes.draws import draw_asked, draw_commit, draw_hold
from matches.writes.entries import entry_status_set
from tests.fished import weigh

pytestmark = pytest.mark.django_db


def commit(world: Any, mode: str = "open", **given: Any) -> Draw:
    return draw_commit(world.secretary, match=world.match, mode=mode, **given)


def pegs(world: Any) -> dict[str, tuple[str, str]]:
    rows = DrawnPeg.objects.filter(match=world.match).select_related(
        "section_peg__section", "section_peg__peg"
    )
    return {str(r.entry_id): (r.section_peg.section.label, r.section_peg.peg.number) for r in rows}


def test_the_commitment_is_the_hash_of_a_seed_of_32_bytes_and_pegs_stay(world: Any) -> None:
    before = pegs(world)
    draw = commit(world)
    assert draw.commitment == hashlib.sha256(bytes.fromhex(draw.seed)).hexdigest()
    assert draw.drawn_at is None
    assert pegs(world) == before


def test_no_two_seeds_are_the_same(world: Any) -> None:
    first = commit(world)
    second = commit(world, "team", reason="A team draw was meant.")
    assert first.seed != second.seed


def test_a_held_draw_gives_the_pegs_anyone_works_out_from_its_lists_and_seed(world: Any) -> None:
    commit(world)
    draw = draw_hold(world.secretary, match=world.match)
    answer = draw_work_out(draw_parse({**draw.asked, "seed": draw.seed}))
    assert answer.commitment == draw.commitment
    assert {a.angler: (a.section, a.peg) for a in answer.assignments} == pegs(world)
    assert len(pegs(world)) == 4
    assert draw.asked["sections"] == [
        {"id": "A", "pegs": ["1", "2", "3"]},
        {"id": "B", "pegs": ["4", "5", "6"]},
    ]
    world.match.refresh_from_db()
    assert world.match.state == MatchState.DRAWN


def test_a_team_draw_puts_one_of_each_team_in_each_section(world: Any) -> None:
    commit(world, "team")
    draw_hold(world.secretary, match=world.match)
    of = {e.team_id: set() for e in world.entries.values()}
    for e in world.entries.values():
        of[e.team_id].add(pegs(world)[str(e.pk)][0])
    assert list(of.values()) == [{"A", "B"}, {"A", "B"}]


def test_asked_twice_the_same_commitment_is_given(world: Any) -> None:
    assert commit(world).pk == commit(world).pk
    assert Draw.objects.count() == 1


def test_a_draw_cannot_be_held_before_its_commitment_is_public(world: Any) -> None:
    with pytest.raises(Problem, match="Publish the commitment first"):
        draw_hold(world.secretary, match=world.match)


def test_a_draw_is_held_once(world: Any) -> None:
    commit(world)
    draw_hold(world.secretary, match=world.match)
    drawn = pegs(world)
    with pytest.raises(Problem, match="held already"):
        draw_hold(world.secretary, match=world.match)
    assert pegs(world) == drawn


def test_drawing_again_needs_a_reason_and_keeps_the_earlier_draw(world: Any) -> None:
    commit(world)
    draw_hold(world.secretary, match=world.match)
    with pytest.raises(Problem) as refused:
        commit(world)
    assert refused.value.faults[0].pointer == "/reason"
    again = commit(world, reason="Peg 3 is under water.")
    draw_hold(world.secretary, match=world.match)
    assert (again.number, again.reason) == (2, "Peg 3 is under water.")
    assert Draw.objects.count() == 2
    assert set(DrawnPeg.objects.values_list("draw_id", flat=True)) == {again.pk}


def test_once_weights_have_come_in_the_pegs_stand(world: Any) -> None:
    commit(world)
    weigh(world, "1", 100)
    before = pegs(world)
    with pytest.raises(Problem) as refused:
        draw_hold(world.secretary, match=world.match)
    assert refused.value.code is Code.CONFLICT
    assert pegs(world) == before


def test_lists_that_do_not_fit_are_refused_and_the_commitment_waits(world: Any) -> None:
    world.entries["Maud"].team = None
    world.entries["Maud"].save()
    draw = commit(world, "team")
    before = pegs(world)
    with pytest.raises(BadInput, match="Everybody needs a team"):
        draw_hold(world.secretary, match=world.match)
    draw.refresh_from_db()
    assert draw.drawn_at is None
    assert pegs(world) == before


def test_absent_singles_and_the_disqualified_do_not_draw_but_absent_team_members_do(
    world: Any,
) -> None:
    for who, status in [("Maud", "absent"), ("Perrin", "absent"), ("Odette", "disqualified")]:
        world.entries[who].status = status
        world.entries[who].save()
    world.entries["Perrin"].team = None
    world.entries["Perrin"].save()
    commit(world)
    draw = draw_hold(world.secretary, match=world.match)
    assert [a["id"] for a in draw.asked["anglers"]] == [
        str(world.entries["Maud"].pk),
        str(world.entries["Wilmot"].pk),
    ]


def test_who_asks_and_accessible_pegs_are_named_by_number_only_where_somebody_asks(
    world: Any,
) -> None:
    Peg.objects.filter(number__in=["2", "6"]).update(accessible=True)
    assert draw_asked(world.match, mode="open")["sections"][0] == {
        "id": "A",
        "pegs": ["1", "2", "3"],
    }
    Entry.objects.filter(pk=world.entries["Odette"].pk).update(needs_access=True)
    asked = draw_asked(world.match, mode="open")
    assert [s["accessible"] for s in asked["sections"]] == [["2"], ["6"]]
    odette = str(world.entries["Odette"].pk)
    assert [a["id"] for a in asked["anglers"] if a.get("needs_access")] == [odette]
    assert sum("needs_access" in a for a in asked["anglers"]) == 1
    assert "Odette" not in str(asked)
    commit(world)
    draw_hold(world.secretary, match=world.match)
    assert pegs(world)[odette] in {("A", "2"), ("B", "6")}


def test_more_who_ask_than_accessible_pegs_are_refused_and_the_commitment_waits(
    world: Any,
) -> None:
    Entry.objects.filter(match=world.match).update(needs_access=True)
    Peg.objects.filter(number__in=["2", "6"]).update(accessible=True)
    draw = commit(world)
    before = pegs(world)
    with pytest.raises(
        BadInput, match=r"More ask for an accessible peg \(4\) than there are \(2\)"
    ):
        draw_hold(world.secretary, match=world.match)
    draw.refresh_from_db()
    assert draw.drawn_at is None
    assert pegs(world) == before


@pytest.mark.parametrize("who", ["weigher", "captain", "member", "outsider"])
def test_nobody_but_the_secretary_commits_or_holds(world: Any, who: str) -> None:
    person = getattr(world, who)
    with pytest.raises(Problem):
        draw_commit(person, match=world.match, mode="open")
    commit(world)
    with pytest.raises(Problem):
        draw_hold(person, match=world.match)
    assert Draw.objects.get().drawn_at is None


def test_an_unknown_kind_of_draw_is_refused(world: Any) -> None:
    with pytest.raises(Problem, match="Choose an open draw or a team draw"):
        commit(world, "lottery")


def test_every_step_of_a_draw_is_in_the_trail_and_the_seed_only_after_it(world: Any) -> None:
    draw = commit(world)
    line = AuditEntry.objects.get(verb="draw_commit")
    assert draw.seed not in str(line.detail)
    draw_hold(world.secretary, match=world.match)
    assert AuditEntry.objects.get(verb="draw_hold").detail["seed"] == draw.seed


def test_a_status_is_set_with_its_trail_and_only_once(world: Any) -> None:
    entry = world.entries["Maud"]
    for _ in range(2):
        entry_status_set(
            world.secretary, match=world.match, entry_id=entry.pk, status=EntryStatus.RETIRED
        )
    entry.refresh_from_db()
    assert entry.status == EntryStatus.RETIRED
    line = AuditEntry.objects.get(verb="entry_status_set")
    assert line.detail == {"before": "entered", "after": "retired", "reason": ""}


def test_a_status_nobody_knows_or_an_entry_of_another_match_is_refused(world: Any) -> None:
    with pytest.raises(Problem) as refused:
        entry_status_set(
            world.secretary,
            match=world.match,
            entry_id=world.entries["Maud"].pk,
            status="asleep",
        )
    assert refused.value.code is Code.BAD_INPUT
    with pytest.raises(Problem) as refused:
        entry_status_set(world.secretary, match=world.match, entry_id=0, status="absent")
    assert refused.value.code is Code.NOT_FOUND
