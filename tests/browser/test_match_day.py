"""A team match of 36 from its pegs to the league, corrected after it was confirmed.

As the secretary does it, on a phone but for the draw; read on the public pages
by somebody who is not signed in. What must come out is worked out in `match_day`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from decimal import Decimal
from typing import Any

from playwright.sync_api import Page, expect

from matches.models import Disagreement, Match

from . import match_day as day
from .phone import Phone
from .reading import caught, cells, named, pounds, said

PageAt = Callable[..., Page]
#: A team and a section: one angler of the match.
Seat = tuple[str, str]
Pegs = Mapping[Seat, str]
WHY = "The sheet of peg {peg} was read wrongly: 4.800, not 2.800."


def test_a_team_match_of_36_goes_from_pegs_to_a_corrected_league(
    lasting_world: Any, signed_in: PageAt, page_at: PageAt
) -> None:
    world = lasting_world
    teams = day.book_filled(world)
    day.round_before(world)
    page, public = signed_in("idris", 360), page_at(360)
    match = planned(page)
    sections_cut(page)
    entered(page, match)
    league_made(page)
    paid(page, match)
    sits, pegs = drawn(page, public, match, teams)
    day.weighers_named(world, match)
    weighed(page, signed_in, match, pegs)
    settled(page, match, pegs)
    published(page, match)
    read_by_anybody(public, match, day.PLACES, day.TEAMS, day.LEAGUE)
    prizes_stand(page, public, match, sits, day.PRIZES)
    handed(page, match, sits, "Hand over", "Hand over", day.HANDED)
    corrected(page, match, pegs)
    public = page_at(1280)  # somebody else: who read it just before may be shown that for seconds
    read_by_anybody(public, match, day.PLACES_AFTER, day.TEAMS_AFTER, day.LEAGUE_AFTER)
    traced(public, match, pegs)
    prizes_stand(page, public, match, sits, day.PRIZES_AFTER)
    handed(page, match, sits, "Got it back", "ask back", day.ASKED_BACK)


def at(match: Match, name: str = "") -> str:
    return f"/desk/matches/{match.pk}/{name}"


def board(match: Match, name: str = "") -> str:
    return f"/board/otterbeck/{match.slug}/{name}"


def planned(page: Page) -> Match:
    """A venue with 36 pegs from a file, and a match there."""
    page.get_by_role("link", name="Venues and pegs").click()
    page.get_by_text("Add a venue").click()
    page.get_by_label("Its name").fill("Priory Bend")
    page.get_by_label("The water").fill("Wend")
    page.get_by_role("button", name="Add the venue").click()
    page.get_by_role("link", name="Import a file").click()
    page.set_input_files(
        "input[name=file]",
        {"name": "pegs.csv", "mimeType": "text/csv", "buffer": day.PEGS_CSV.encode()},
    )
    page.get_by_role("button", name="Show what would change").click()
    page.get_by_role("button", name="Import these pegs").click()
    expect(page.get_by_text("36 new")).to_be_visible()
    page.goto("/desk/")
    page.get_by_role("link", name="Plan a match").click()
    page.get_by_label("Name").fill("July Team Match")
    page.get_by_label("Where").select_option(label="Priory Bend")
    page.get_by_label("Day").fill("2030-07-20")
    page.get_by_label("Entry fee").fill("12.50")
    page.get_by_label("Minutes to object").fill("15")
    page.get_by_role("button", name="Plan the match").click()
    expect(page.get_by_text("July Team Match is planned.")).to_be_visible()
    page.get_by_role("button", name="Save the scoring").click()
    expect(page.get_by_role("heading", name="Pegs and sections", level=1)).to_be_visible()
    return Match.objects.get(name="July Team Match")


def sections_cut(page: Page) -> None:
    page.get_by_label("Even sections").fill("3")
    page.get_by_role("button", name="Suggest").click()
    page.get_by_role("button", name="Save the sections").click()
    expect(page.get_by_text("The sections are saved.")).to_be_visible()
    for n, pegs in enumerate(["1-12", "13-24", "25-36"]):
        expect(page.locator(f"#pegs-{n}")).to_have_value(pegs)


def entered(page: Page, match: Match) -> None:
    """Twelve teams, each at once; two at the desk, the others as its page enters them."""
    first, *others, last = day.WEIGHTS
    day.teams_enter(match, others)
    page.goto(at(match, "entries/"))
    for team in (first, last):
        group = page.locator("details").filter(has=page.locator("summary", has_text=team))
        group.locator("summary").click()
        group.get_by_role("button", name="Enter all 3").click()
        expect(page.locator(".messages")).to_be_visible()
    assert match.entries.filter(status="entered").count() == 36


def league_made(page: Page) -> None:
    page.goto("/desk/")
    page.get_by_role("link", name="Leagues").click()
    page.get_by_role("link", name="Make a league").click()
    page.get_by_role("link", name="Every round counts").click()
    page.get_by_label("Name").fill("Teams of the Wend")
    page.get_by_label("Ranks").select_option("teams")
    page.get_by_role("button", name="Make it and choose its rounds").click()
    page.get_by_label(re.compile("June Open")).fill("1")
    page.get_by_label(re.compile("July Team Match")).fill("2")
    page.get_by_role("button", name="Save the rounds").click()
    expect(page.get_by_text("The rounds are set.")).to_be_visible()


def paid(page: Page, match: Match) -> None:
    """Everybody pays the fee, then the stake of the pool."""
    page.goto(at(match, "entries/"))
    page.get_by_text("Take fees").click()
    page.get_by_role("button", name="Taken from all 36").click()
    expect(page.get_by_text("36 fees taken: £450.00.")).to_be_visible()
    expect(page.locator("main")).not_to_contain_text("owes")
    page.goto(at(match, "pools/new/"))
    page.get_by_label("Name").fill("Frame")
    page.get_by_label("Each pays in").fill("5.00")
    for n, prize in enumerate(["50 %", "25 %", "15.05"], 1):
        page.locator(f"[name=place-{n}]").fill(prize)
    page.get_by_label("The best of each section wins").fill("6.00")
    page.get_by_label("By default").check()
    page.get_by_label("What nobody wins goes to").fill("the club")
    page.get_by_role("button", name="Set up the pool").click()
    expect(page.get_by_text("Frame is set up.")).to_be_visible()
    everybody_ticked(page)
    expect(page.get_by_text("36 stakes taken: £180.00.")).to_be_visible()


def everybody_ticked(page: Page) -> None:
    boxes = page.get_by_role("group", name="Tick who pays now").get_by_role("checkbox")
    boxes.first.check()
    boxes.evaluate_all("all => all.forEach((box) => { box.checked = true; })")
    page.get_by_role("button", name="Taken from who is ticked").click()


def drawn(
    page: Page, public: Page, match: Match, teams: Mapping[str, str]
) -> tuple[dict[str, Seat], Pegs]:
    """One of each team in each section; who sits where as the public page of the draw says it."""
    page.set_viewport_size({"width": 1280, "height": 900})
    page.goto(at(match, "draw/"))
    page.get_by_label("Team: one of each team in each section").check()
    page.get_by_role("button", name="Publish the commitment").click()
    page.get_by_role("button", name="Hold the draw now").click()
    expect(page.get_by_text("held, and it checks")).to_be_visible()
    public.goto(board(match, "draw/"))
    public.locator("summary", has_text="Who drew what").click()
    rows = [(name, section, peg) for name, _, section, peg in cells(public, "table tbody tr")]
    sits = {name: (teams[name], section) for name, section, _ in rows}
    pegs = {sits[name]: peg for name, _, peg in rows}
    assert set(pegs) == {(team, section) for team in day.WEIGHTS for section in "ABC"}
    assert sorted(map(int, pegs.values())) == list(range(1, 37))
    return sits, pegs


def weighed(page: Page, signed_in: PageAt, match: Match, pegs: Pegs) -> None:
    """A and B by Tamsin's phone, C by Perrin's; at the desk a weight and a blank of B, and one of
    C. Two weights differ from another."""
    of = {
        section: [(pegs[team, section], grams[n]) for team, grams in day.WEIGHTS.items()]
        for n, section in enumerate("ABC")
    }
    tamsin = Phone(signed_in("tamsin", 360), match)
    perrin = Phone(signed_in("perrin", 360), match)
    page.set_viewport_size({"width": 360, "height": 740})
    page.goto(at(match, "weigh/"))
    misread, oaks = pegs["Larkmill Rovers", "A"], pegs["Otterbeck Oaks", "C"]
    at_desk = [row for row in of["B"] if row[1] in (0, 6400)]
    tamsin.send([(peg, 4010 if peg == misread else grams) for peg, grams in of["A"]])
    expect(page.locator("#weighed")).to_have_text("12 of 36 weighed")
    tamsin.send([row for row in of["B"] if row not in at_desk])
    assert perrin.send([(misread, 4100)]) == ["disagrees"]
    for peg, grams in [*at_desk, (oaks, 4000)]:
        logged(page, peg, grams)
    perrin.send([(peg, 400 if peg == oaks else grams) for peg, grams in of["C"]])
    expect(page.locator("#weighed")).to_have_text("36 of 36 weighed")


def logged(page: Page, peg: str, grams: int) -> None:
    page.get_by_label("Peg", exact=True).select_option(peg)
    page.get_by_label("kg", exact=True).fill(str(grams // 1000))
    page.get_by_label("g", exact=True).fill(str(grams % 1000))
    page.get_by_role("button", name="Log the weight").click()
    expect(page.locator(".messages")).to_contain_text(f"Peg {peg}: {caught(grams)} logged.")


def settled(page: Page, match: Match, pegs: Pegs) -> None:
    """One tap for each of the two, and one angler out with a reason."""
    for grams in (4100, 4000):
        page.goto(at(match, "weigh/"))
        page.get_by_role("button", name=f"{caught(grams)} stands").click()
        expect(page.get_by_text("Settled. Both facts stay on record.")).to_be_visible()
    assert Disagreement.objects.filter(match=match, ruling=None).count() == 0
    page.locator(f"#peg-{pegs['Otterbeck Ashes', 'B']} th a").click()
    status = page.get_by_role("region", name="On the day")
    status.get_by_label("Status").select_option("disqualified")
    status.get_by_label("Why").fill("Two rods out at once.")
    status.get_by_role("button", name="Save the status").click()
    expect(page.get_by_text("is now marked disqualified")).to_be_visible()


def published(page: Page, match: Match) -> None:
    """Provisional, then confirmed before the time to object is over, which needs its reason."""
    page.goto(at(match, "publish/"))
    page.get_by_role("button", name="Publish as provisional").click()
    expect(page.get_by_text("Bulletin 1 is out.")).to_be_visible()
    page.get_by_role("button", name="Publish as confirmed").click()
    expect(page.get_by_text("can be objected to until")).to_be_visible()
    page.locator("#reason").fill("Everybody agreed at the scales.")
    page.get_by_role("button", name="Publish as confirmed").click()
    expect(page.get_by_text("Bulletin 2 is out.")).to_be_visible()


def read_by_anybody(
    public: Page,
    match: Match,
    places: Mapping[str, Sequence[str]],
    teams: Sequence[tuple[str, str, str, int]],
    league: Sequence[tuple[str, str, str]],
) -> None:
    """The result and the league as the public pages say them."""
    public.goto(board(match))
    expect(public.locator(".result-head .status")).to_contain_text("confirmed")
    for n, _ in enumerate("ABC"):
        rows = cells(public, f"section[aria-labelledby=section-{n + 1}] tbody tr")
        assert {named(row[1]): row[0] for row in rows} == {t: p[n] for t, p in places.items()}
    expect(public.locator("main")).not_to_contain_text("Two rods")
    rows = cells(public, "section[aria-labelledby=teams] tbody tr")
    ranked = [(rank, team.split("\n")[0], points, grams) for rank, team, points, grams in rows]
    assert ranked == [(rank, team, points, caught(grams)) for rank, team, points, grams in teams]
    public.goto("/board/otterbeck/")
    public.get_by_role("link", name="Teams of the Wend").click()
    rows = cells(public, "table.league tbody tr")
    assert [(row[0], row[1], row[2].split("\n")[0]) for row in rows] == league


def prizes_stand(
    page: Page,
    public: Page,
    match: Match,
    sits: Mapping[str, Seat],
    prizes: Mapping[Seat, Decimal],
) -> None:
    """The prizes on the board and the pay-out list, and an even tin: 36 fees, 36 stakes."""
    public.goto(board(match))
    rows = public.locator(".pools-won li").all()
    assert {sits[said(row, "b")]: pounds(said(row, ".number")) for row in rows} == prizes
    page.goto(at(match, "payouts/"))
    rows = page.locator("ul.payouts > li").all()
    due = {sits[said(row, "a")]: pounds(said(row, "b.number")) for row in rows}
    assert {seat: amount for seat, amount in due.items() if amount} == prizes
    tin = dict(row[:2] for row in cells(page, ".tin tr") if len(row) > 1)
    assert pounds(tin["Entry fees taken"]) == Decimal("450.00")
    assert pounds(tin["Stakes taken"]) == Decimal("180.00")
    assert pounds(tin["Not won"]) == day.NOT_WON
    expect(page.get_by_text("even to the penny")).to_be_visible()


def handed(
    page: Page,
    match: Match,
    sits: Mapping[str, Seat],
    button: str,
    said_so: str,
    prizes: Mapping[Seat, Decimal],
) -> None:
    """Tick these prizes; the row of each says how much it is."""
    names = {seat: name for name, seat in sits.items()}
    for seat, amount in prizes.items():
        row = page.locator("ul.payouts > li").filter(has_text=names[seat])
        expect(row).to_contain_text(f"{said_so} £{amount}")
        row.get_by_role("button", name=button).click()
        expect(page.locator(".messages")).to_contain_text("Noted as")
    expect(page.get_by_text("even to the penny")).to_be_visible()


def corrected(page: Page, match: Match, pegs: Pegs) -> None:
    """A late weight, the ruling that it stands, and a bulletin that says why."""
    peg = pegs["Otterbeck Rowans", "C"]
    page.set_viewport_size({"width": 360, "height": 740})
    page.goto(at(match, f"weigh/?peg={peg}"))
    page.get_by_label("kg", exact=True).fill("4")
    page.get_by_label("g", exact=True).fill("800")
    page.get_by_label("This corrects what stands for that net").check()
    page.get_by_role("button", name="Log the weight").click()
    expect(page.get_by_text("is kept but does not count: the result was confirmed")).to_be_visible()
    page.get_by_role("button", name="4.800 kg stands").click()
    expect(page.get_by_text("Settled. Both facts stay on record.")).to_be_visible()
    page.goto(at(match, "publish/"))
    page.locator("#reason").fill(WHY.format(peg=peg))
    page.get_by_role("button", name="Publish as confirmed").click()
    expect(page.get_by_text("Bulletin 3 is out.")).to_be_visible()


def traced(public: Page, match: Match, pegs: Pegs) -> None:
    """Anybody can follow the correction from the league's table to the weight that was mended."""
    why = WHY.format(peg=pegs["Otterbeck Rowans", "C"])
    expect(public.get_by_text(why).first).to_be_visible()
    public.get_by_role("link", name="Read the bulletin").click()
    changes = public.locator("section[aria-labelledby=changes]")
    expect(changes).to_contain_text(why)
    weight = changes.locator(".change").filter(has_text="kg").first
    expect(weight.locator("del")).to_have_text("2.800 kg")
    expect(weight.locator("ins")).to_have_text("4.800 kg")
    public.goto(board(match, "2/"))
    expect(public.get_by_text("This is bulletin 2; a later one replaced it.")).to_be_visible()
