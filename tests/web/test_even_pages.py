"""Are a match's sections even, as the secretary reads it, and the cut taken over by one press."""

from __future__ import annotations

import datetime as dt
import re
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from matches.models import (
    AuditEntry,
    Bulletin,
    Draw,
    DrawnPeg,
    Match,
    PastMatch,
    PastResult,
    Peg,
    Section,
    SectionPeg,
)
from tests.clients import signed_in

#: 1 to 3 beat what lies below every time, and 4 is the hardest.
WEIGHTS = {"1": 900, "2": 950, "3": 800, "4": 100, "5": 500, "6": 450, "7": 600, "8": 400}


def fished(world: Any, *, matches: int, first: int = 0, weights: dict[str, int] = WEIGHTS) -> None:
    """Matches published at the venue with these weights, the same each time."""
    for number in range(first, first + matches):
        match = Match.objects.get(pk=world.match.pk)
        match.pk, match.slug = None, f"earlier-{number}"
        match.save()
        entries = [
            {"peg": peg, "place": "1", "status": "entered", "weight": weight}
            for peg, weight in weights.items()
        ]
        Bulletin.objects.create(
            match=match,
            number=1,
            body={"sections": [{"label": "A", "entries": entries}]},
            digest="0" * 64,
            published_by=world.secretary,
        )


def planned(world: Any) -> None:
    """Before the draw: eight pegs, 1-3 in section A and 4-8 in B."""
    DrawnPeg.objects.all().delete()
    Draw.objects.all().delete()
    Match.objects.filter(pk=world.match.pk).update(state="planned")
    below = Section.objects.get(match=world.match, label="B")
    for number in (7, 8):
        peg = Peg.objects.create(venue=world.venue, number=str(number), position=number)
        SectionPeg.objects.create(match=world.match, section=below, peg=peg)


def page(world: Any, who: str = "secretary") -> tuple[int, str]:
    client = signed_in(getattr(world, who))
    answer = client.get(f"/desk/matches/{world.match.pk}/pegs/even/")
    return answer.status_code, answer.content.decode()


def press(world: Any, text: str) -> str:
    """Send the page's own form, as the press does."""
    form = text[text.index("<form method", text.index('id="evenest-head"')) :]
    form = form[: form.index("</form>")]
    sent = dict(re.findall(r'type="hidden" name="([^"]+)" value="([^"]*)"', form))
    sent.pop("csrfmiddlewaretoken", None)
    client = signed_in(world.secretary)
    address = f"/desk/matches/{world.match.pk}/pegs/"
    return client.post(address, {**sent, "do": "save"}, follow=True).content.decode()


def test_uneven_sections_are_told_and_one_press_takes_the_fairer_cut_over(world: Any) -> None:
    planned(world)
    fished(world, matches=12)
    text = page(world)[1]
    assert "Uneven, as far as 12 matches can tell: section A beat 57 in 100 of the match" in text
    assert "The fairer cut by these matches" in text
    assert "The sections are saved." in press(world, text)
    held = SectionPeg.objects.filter(match=world.match, section__label="A")
    assert [row.peg.number for row in held.order_by("peg__position")] == ["1", "2", "3", "4"]
    audit = AuditEntry.objects.get(verb="sections_set")
    assert audit.detail["before"]["A"] == ["1", "2", "3"]
    assert "No cut into as many sections" in page(world)[1]


def test_a_press_on_an_old_page_changes_nothing(world: Any) -> None:
    planned(world)
    fished(world, matches=12)
    text = page(world)[1]
    SectionPeg.objects.filter(match=world.match, peg__number="8").delete()
    assert "Somebody changed this after you opened the page." in press(world, text)
    assert SectionPeg.objects.filter(match=world.match, section__label="A").count() == 3


def test_on_a_few_matches_no_cut_is_shown_and_none_called_fairer(world: Any) -> None:
    planned(world)
    fished(world, matches=4)
    text = page(world)[1]
    assert "of their pegs 1-8 were fished in fewer than 5 matches here that" in text
    assert "The most even cut" not in text
    assert "fairer" not in text


def test_where_luck_could_make_the_difference_nothing_is_called_fairer(world: Any) -> None:
    planned(world)
    fished(world, matches=3)
    turned = dict(zip(WEIGHTS, [*WEIGHTS.values()][::-1], strict=True))
    fished(world, matches=3, first=3, weights=turned)
    text = page(world)[1]
    assert "Even as far as 6 matches can tell." in text
    assert "It is not called fairer than what stands" in text
    assert "The fairer cut" not in text


def test_after_the_draw_there_is_nothing_to_press(world: Any) -> None:
    fished(world, matches=12)
    below = Section.objects.get(match=world.match, label="B")
    SectionPeg.objects.filter(match=world.match, peg__number="3").update(section=below)
    text = page(world)[1]
    assert "The most even cut" in text
    assert "Take this cut over" not in text
    assert "the sections stay as they are" in text


@pytest.mark.parametrize("sections", [0, 1])
def test_where_there_is_nothing_to_compare_it_says_so(world: Any, sections: int) -> None:
    planned(world)
    fished(world, matches=12)
    SectionPeg.objects.filter(match=world.match, section__label="B").delete()
    if not sections:
        SectionPeg.objects.filter(match=world.match).delete()
    said = ["There are no sections yet", "There is one section only"][sections]
    assert said in page(world)[1]


def test_many_matches_take_no_more_queries(world: Any) -> None:
    planned(world)
    client = signed_in(world.secretary)
    found = []
    for first, matches in ((0, 5), (5, 20)):
        fished(world, matches=matches, first=first)
        with CaptureQueriesContext(connection) as queries:
            client.get(f"/desk/matches/{world.match.pk}/pegs/even/")
        found.append(len(queries))
    assert found[1] <= found[0] <= 14


def test_results_of_before_count_where_weights_were_written_down(world: Any) -> None:
    planned(world)
    for year, weights in [*((2000 + n, WEIGHTS) for n in range(12)), (2020, {})]:
        past = PastMatch.objects.create(
            club=world.club, venue=world.venue, date=dt.date(year, 6, 1), weight_unit="g"
        )
        PastResult.objects.bulk_create(
            PastResult(match=past, name=f"Number {peg}", peg=peg, place=1, weight=weights.get(peg))
            for peg in WEIGHTS
        )
    text = page(world)[1]
    assert "Uneven, as far as 12 matches can tell: section A beat" in text
