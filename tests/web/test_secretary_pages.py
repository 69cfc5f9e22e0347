"""The secretary's pages, from every role: what each sees, what each may do, and no leak."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from matches.models import (
    Angler,
    Bulletin,
    Disagreement,
    Draw,
    Entry,
    EntryStatus,
    Fact,
    MatchState,
    Team,
    WeighIn,
)
from matches.writes.bulletins import bulletin_publish
from tests.clients import signed_in
from tests.fished import weigh

pytestmark = pytest.mark.django_db

PAGES = ["", "weigh/", "draw/", "publish/"]


@pytest.mark.parametrize("page", PAGES)
def test_secretary_sees_every_page_of_a_match(world: Any, page: str) -> None:
    answer = signed_in(world.secretary).get(f"/desk/matches/{world.match.pk}/{page}")
    assert answer.status_code == 200
    assert "June Open" in answer.content.decode()


@pytest.mark.parametrize("page", PAGES)
def test_an_outsider_learns_nothing_of_another_clubs_match(world: Any, page: str) -> None:
    answer = signed_in(world.outsider).get(f"/desk/matches/{world.match.pk}/{page}")
    assert answer.status_code == 404
    body = answer.content.decode()
    assert "June Open" not in body
    assert "Maud" not in body


@pytest.mark.parametrize("page", PAGES)
def test_signed_out_the_desk_asks_to_sign_in(world: Any, page: str) -> None:
    answer = Client().get(f"/desk/matches/{world.match.pk}/{page}")
    assert answer.status_code == 302
    assert answer["Location"].startswith("/sign-in/?next=")


@pytest.mark.parametrize(
    ("who", "allowed"),
    [
        ("secretary", {"", "weigh/", "draw/", "publish/"}),
        ("weigher", {"", "weigh/"}),
        ("captain", {""}),
        ("member", {""}),
        ("rival", {""}),
    ],
)
def test_each_role_sees_its_own_pages_only(world: Any, who: str, allowed: set[str]) -> None:
    client = signed_in(getattr(world, who))
    seen = {
        p for p in PAGES if client.get(f"/desk/matches/{world.match.pk}/{p}").status_code == 200
    }
    assert seen == allowed


@pytest.mark.parametrize("who", ["weigher", "captain", "member", "rival", "outsider"])
def test_only_the_secretary_draws_publishes_marks_and_settles(world: Any, who: str) -> None:
    client = signed_in(getattr(world, who))
    entry = world.entries["Maud"]
    at = f"/desk/matches/{world.match.pk}"
    answers = [
        client.post(f"{at}/draw/", {"do": "commit", "mode": "open"}),
        client.post(f"{at}/publish/", {"confirmed": "no"}),
        client.post(f"{at}/entrants/{entry.pk}/", {"do": "status", "status": "absent"}),
        client.post(f"{at}/weigh/settle/", {"disagreement": "1", "stands": "x"}),
    ]
    assert {a.status_code for a in answers} == {404 if who == "outsider" else 403}
    entry.refresh_from_db()
    assert entry.status == EntryStatus.ENTERED
    assert (Draw.objects.count(), Bulletin.objects.count(), Fact.objects.count()) == (0, 0, 0)


def test_the_desk_lists_matches_and_what_each_waits_for(world: Any) -> None:
    body = signed_in(world.secretary).get("/desk/").content.decode()
    assert "Otterbeck Piscatorials" in body
    assert "0 of 4 weighed." in body
    assert "Larkmill Rovers Club" not in body


def test_an_outsiders_desk_shows_only_their_own_club(world: Any) -> None:
    body = signed_in(world.outsider).get("/desk/").content.decode()
    assert "Larkmill Rovers Club" in body
    assert "June Open" not in body


def test_the_desk_asks_as_many_queries_for_one_match_as_for_twenty(
    world: Any, django_assert_num_queries: Any
) -> None:
    client = signed_in(world.secretary)
    # Session, person, roles, clubs, teams, matches, shops, notices; what is published and the team
    # that never ordered; and eight for the way of a club that has published nothing.
    with django_assert_num_queries(18):
        client.get("/desk/")
    for n in range(20):
        world.match.pk = None
        world.match.slug, world.match.name = f"m-{n}", f"Match {n}"
        world.match.save()
    with django_assert_num_queries(18):
        client.get("/desk/")


def test_a_weight_logged_at_the_desk_is_a_fact_and_stands(world: Any) -> None:
    client = signed_in(world.weigher)
    answer = client.post(
        f"/desk/matches/{world.match.pk}/weigh/", {"peg": "1", "net": "1", "kg": "4", "g": "250"}
    )
    assert answer.status_code == 302
    fact = Fact.objects.get()
    assert (fact.author, fact.peg, fact.body["weight"]) == (world.weigher, "1", 4250)
    assert WeighIn.objects.get(stands=True).weight == 4250
    page = client.get(f"/desk/matches/{world.match.pk}/weigh/").content.decode()
    assert "1 of 4 weighed" in page
    assert "4.250 kg" in page


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"peg": "1", "net": "1", "kg": "", "g": ""}, "Key in a weight (kg, g); a blank is 0."),
        ({"peg": "1", "net": "1", "kg": "1", "g": "1200"}, "Key in 0 to 999 g."),
        ({"peg": "1", "net": "0", "kg": "1", "g": "0"}, "Choose net 1 to 9."),
        ({"peg": "1", "net": "²", "kg": "1", "g": "0"}, "Choose net 1 to 9."),
    ],
)
def test_a_slip_at_the_scales_is_told_and_what_was_typed_is_kept(
    world: Any, typed: dict[str, str], sentence: str
) -> None:
    answer = signed_in(world.weigher).post(f"/desk/matches/{world.match.pk}/weigh/", typed)
    assert answer.status_code == 400
    body = answer.content.decode()
    assert sentence in body
    assert f'name="kg" value="{typed["kg"]}"' in body
    assert Fact.objects.count() == 0


def test_a_second_weight_for_a_net_is_put_side_by_side_and_one_tap_settles_it(world: Any) -> None:
    first = weigh(world, "1", 4250)
    client = signed_in(world.secretary)
    at = f"/desk/matches/{world.match.pk}/weigh/"
    client.post(at, {"peg": "1", "net": "1", "kg": "4", "g": "520"})
    page = client.get(at).content.decode()
    assert "4.250 kg stands" in page
    assert "4.520 kg stands" in page
    assert "Tamsin Rook" in page
    row = Disagreement.objects.get()
    second = Fact.objects.exclude(pk=first.pk).get()
    answer = client.post(at + "settle/", {"disagreement": row.pk, "stands": str(second.pk)})
    assert answer.status_code == 302
    row.refresh_from_db()
    assert row.ruling is not None
    assert WeighIn.objects.get(stands=True).weight == 4520
    assert "To settle" not in client.get(at).content.decode()


def test_settling_twice_says_that_it_was_settled(world: Any) -> None:
    weigh(world, "1", 4250)
    second = weigh(world, "1", 4520, by=world.secretary)
    client = signed_in(world.secretary)
    at = f"/desk/matches/{world.match.pk}/weigh/settle/"
    asked = {"disagreement": Disagreement.objects.get().pk, "stands": str(second.pk)}
    client.post(at, asked)
    facts = Fact.objects.count()
    answer = client.post(at, asked, follow=True)
    assert "That was settled already" in answer.content.decode()
    assert Fact.objects.count() == facts


def test_a_correction_ticked_as_one_replaces_what_stands_without_a_disagreement(world: Any) -> None:
    weigh(world, "1", 4250)
    signed_in(world.weigher).post(
        f"/desk/matches/{world.match.pk}/weigh/",
        {"peg": "1", "net": "1", "kg": "4", "g": "520", "corrects": "yes"},
    )
    assert Disagreement.objects.count() == 0
    assert WeighIn.objects.get(stands=True).weight == 4520


def test_the_weigh_board_shows_drams_as_pounds_ounces_and_drams(world: Any) -> None:
    world.match.weight_unit = "dr"
    world.match.save()
    client = signed_in(world.weigher)
    at = f"/desk/matches/{world.match.pk}/weigh/"
    client.post(at, {"peg": "1", "net": "1", "lb": "3", "oz": "6", "dr": "8"})
    assert WeighIn.objects.get().weight == 872
    assert "3 lb 6 oz 8 dr" in client.get(at).content.decode()


def test_marking_somebody_absent_takes_them_off_the_scales_list(world: Any) -> None:
    client = signed_in(world.secretary)
    at = f"/desk/matches/{world.match.pk}/"
    entrant = f"{at}entrants/{world.entries['Perrin'].pk}/"
    answer = client.post(entrant, {"do": "status", "status": "absent"}, follow=True)
    assert "Perrin Stoat is now marked absent." in answer.content.decode()
    assert "0 of 3 weighed" in client.get(at + "weigh/").content.decode()
    client.post(entrant, {"do": "status", "status": "entered"})
    assert "0 of 4 weighed" in client.get(at + "weigh/").content.decode()


@pytest.mark.parametrize("page", ["", "weigh/"])
def test_each_name_leads_the_secretary_alone_to_where_a_status_is_set(
    world: Any, page: str
) -> None:
    at = f"/desk/matches/{world.match.pk}/"
    for who in ("secretary", "weigher"):
        body = signed_in(getattr(world, who)).get(at + page).content.decode()
        for entry in world.entries.values():
            name = entry.angler.name
            link = f'href="{at}entrants/{entry.pk}/#status">{name}</a>'
            assert (link in body) == (who == "secretary")
            assert name in body


def test_a_disqualification_without_a_reason_is_refused(world: Any) -> None:
    client = signed_in(world.secretary)
    entry = world.entries["Perrin"]
    answer = client.post(
        f"/desk/matches/{world.match.pk}/entrants/{entry.pk}/",
        {"do": "status", "status": "disqualified", "why": " "},
    )
    body = answer.content.decode()
    assert "Say why: a disqualification needs a reason on record." in body
    assert '<option value="disqualified" selected>' in body
    entry.refresh_from_db()
    assert entry.status == EntryStatus.ENTERED


def test_commit_hold_and_check_a_draw_through_the_pages(world: Any) -> None:
    client = signed_in(world.secretary)
    at = f"/desk/matches/{world.match.pk}/draw/"
    client.post(at, {"do": "commit", "mode": "open"})
    draw = Draw.objects.get()
    page = client.get(at).content.decode()
    assert draw.commitment in page
    assert draw.seed not in page
    client.post(at, {"do": "hold"})
    page = client.get(at).content.decode()
    assert draw.seed in page
    assert "held, and it checks" in page
    world.match.refresh_from_db()
    assert world.match.state == MatchState.DRAWN


def test_a_junior_is_shown_by_initials_on_every_page(world: Any) -> None:
    angler = world.entries["Odette"].angler
    angler.junior = True
    angler.save()
    client = signed_in(world.secretary)
    for page in PAGES:
        body = client.get(f"/desk/matches/{world.match.pk}/{page}").content.decode()
        assert "Odette" not in body
    assert "O. M." in client.get(f"/desk/matches/{world.match.pk}/weigh/").content.decode()


def test_publishing_through_the_page_says_what_is_out(world: Any) -> None:
    for peg in "1245":
        weigh(world, peg, 1000 * int(peg))
    client = signed_in(world.secretary)
    at = f"/desk/matches/{world.match.pk}/publish/"
    answer = client.post(at, {"confirmed": "no"}, follow=True)
    assert "Bulletin 1 is out." in answer.content.decode()
    answer = client.post(at, {"confirmed": "no"})
    assert "Bulletin 1 says exactly this already." in answer.content.decode()
    client.post(at, {"confirmed": "yes"})
    assert [b.confirmed for b in Bulletin.objects.order_by("number")] == [False, True]


def test_a_change_without_a_reason_is_refused_and_the_page_says_so(world: Any) -> None:
    weigh(world, "1", 1000)
    bulletin_publish(world.secretary, match=world.match)
    weigh(world, "2", 2000)
    answer = signed_in(world.secretary).post(
        f"/desk/matches/{world.match.pk}/publish/", {"confirmed": "no", "reason": " "}
    )
    assert "Say why this differs from bulletin 1" in answer.content.decode()
    assert Bulletin.objects.count() == 1


def test_pages_hold_no_inline_script_or_style(world: Any) -> None:
    weigh(world, "1", 1000)
    client = signed_in(world.secretary)
    for page in ["/desk/", *(f"/desk/matches/{world.match.pk}/{p}" for p in PAGES)]:
        body = client.get(page).content.decode()
        assert "style=" not in body
        assert "<style" not in body
        assert "<script>" not in body
        assert " onclick" not in body


def test_the_weigh_board_asks_as_many_queries_for_many_weights_as_for_one(world: Any) -> None:
    client = signed_in(world.secretary)
    at = f"/desk/matches/{world.match.pk}/weigh/"
    weigh(world, "1", 1000)
    client.get(at)
    with CaptureQueriesContext(connection) as few:
        client.get(at)
    for peg in "1245":
        for net in range(2, 6):
            weigh(world, peg, 100 * net, net=net)
    with CaptureQueriesContext(connection) as many:
        client.get(at)
    assert len(many) == len(few)


def test_a_weight_after_confirmation_is_shown_beside_what_was_confirmed(world: Any) -> None:
    for peg in "1245":
        weigh(world, peg, 1000)
    bulletin_publish(world.secretary, match=world.match, confirmed=True)
    weigh(world, "1", 1500)
    client = signed_in(world.secretary)
    at = f"/desk/matches/{world.match.pk}/weigh/"
    page = client.get(at).content.decode()
    assert "1.500 kg stands" in page
    assert "1.000 kg stands" in page
    confirmed = WeighIn.objects.get(section_peg=world.pegs["1"], stands=True)
    row = Disagreement.objects.get()
    client.post(at + "settle/", {"disagreement": row.pk, "stands": str(confirmed.fact_id)})
    assert not Disagreement.objects.filter(ruling__isnull=True).exists()
    assert WeighIn.objects.get(section_peg=world.pegs["1"], stands=True).weight == 1000


def test_a_weight_for_a_peg_nobody_drew_can_be_noted(world: Any) -> None:
    weigh(world, "3", 1500)
    client = signed_in(world.secretary)
    at = f"/desk/matches/{world.match.pk}/weigh/"
    assert "Noted: nobody sits there" in client.get(at).content.decode()
    row = Disagreement.objects.get()
    fact = Fact.objects.get()
    client.post(at + "settle/", {"disagreement": row.pk, "stands": str(fact.pk)})
    page = client.get(at).content.decode()
    assert "To settle" not in page
    assert "1.500 kg" not in page


def test_a_ruling_for_a_fact_of_no_side_is_refused_in_words(world: Any) -> None:
    weigh(world, "1", 4250)
    weigh(world, "1", 4520, by=world.secretary)
    row = Disagreement.objects.get()
    for stands in ["x", "", "00000000-0000-4000-8000-000000000000"]:
        answer = signed_in(world.secretary).post(
            f"/desk/matches/{world.match.pk}/weigh/settle/",
            {"disagreement": row.pk, "stands": stands},
        )
        assert answer.status_code == 400
    row.refresh_from_db()
    assert row.ruling is None


def test_who_has_no_peg_is_named_before_publishing(world: Any) -> None:
    world.entries["Odette"].drawn_peg.delete()
    page = signed_in(world.secretary).get(f"/desk/matches/{world.match.pk}/publish/")
    assert "Entered without a peg, so not in the result: Odette Marl." in page.content.decode()


@pytest.mark.parametrize("page", ["", "publish/", "draw/"])
def test_a_match_page_asks_as_many_queries_for_forty_entries_as_for_four(
    world: Any, page: str
) -> None:
    client = signed_in(world.secretary)
    at = f"/desk/matches/{world.match.pk}/{page}"
    client.get(at)
    with CaptureQueriesContext(connection) as few:
        client.get(at)
    for n in range(36):
        angler = Angler.objects.create(club=world.club, name=f"Visitor {n}", team=world.teals)
        Entry.objects.create(match=world.match, angler=angler, team=world.teals)
    with CaptureQueriesContext(connection) as many:
        client.get(at)
    assert len(many) == len(few)


def test_once_everybody_has_weighed_the_match_leads_to_publishing(world: Any) -> None:
    first = '<a class="button " href="/desk/matches/{}/{}/">'
    for pegs, page in (("12", "weigh"), ("45", "publish")):
        for peg in pegs:
            weigh(world, peg, 1000, by=world.secretary)
        said = signed_in(world.secretary).get(f"/desk/matches/{world.match.pk}/").content.decode()
        assert first.format(world.match.pk, page) in said
        assert said.count('<a class="button "') == 1


def test_the_orders_of_many_teams_are_folded_on_the_match_page(world: Any) -> None:
    client, at = signed_in(world.secretary), f"/desk/matches/{world.match.pk}/"
    assert "Plans and orders of" not in client.get(at).content.decode()
    Team.objects.create(club=world.club, name="Larkmill Rovers")
    said = client.get(at).content.decode()
    assert "<summary>Plans and orders of 3 teams</summary>" in said
    assert said.count(": plans and order</a>") == 3
