"""The draw's pages: told angler by angler, the seed secret to the end, and checked by anybody."""

from __future__ import annotations

import json
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from django.core.management import CommandError, call_command
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from matches.models import Draw, DrawnPeg, Entry, Peg
from matches.problems import Problem
from matches.writes.bulletins import bulletin_publish
from matches.writes.draw_telling import draw_begin, draw_tell, draw_tell_rest
from matches.writes.draws import draw_commit, draw_hold
from tests.clients import read, signed_in

pytestmark = pytest.mark.django_db

BOARD = "/board/otterbeck/june-open/draw/"
HELD = BOARD + "1-held.json"
BEFORE_ALL_ARE_TOLD = ["Perrin Stoat", "Wilmot Crane", "Odette Marl"]


@pytest.fixture
def anybody() -> Client:
    return Client(HTTP_HOST="localhost")


@pytest.fixture
def desk(world: Any) -> Client:
    return signed_in(world.secretary)


@pytest.fixture
def committed(world: Any) -> Any:
    draw_commit(world.secretary, match=world.match, mode="open")
    return world


def at(world: Any) -> str:
    return f"/desk/matches/{world.match.pk}/draw/"


def send(client: Client, world: Any, **given: object) -> str:
    answer = client.post(at(world), given, follow=True)
    assert answer.status_code == 200
    return answer.content.decode()


def asks(world: Any, who: str, *pegs: str) -> None:
    Entry.objects.filter(pk=world.entries[who].pk).update(needs_access=True)
    Peg.objects.filter(number__in=pegs).update(accessible=True)


def test_the_desk_tells_one_peg_a_tap_and_shows_whose_turn_it_is(
    committed: Any, desk: Client
) -> None:
    page = send(desk, committed, do="begin")
    assert '<b class="who-next">Maud Ferris</b>' in page
    assert "0 of 4 told" in page
    page = send(desk, committed, do="tell", told=0)
    drawn = DrawnPeg.objects.select_related("section_peg__section", "section_peg__peg").get()
    assert '<span class="who-drew">Maud Ferris</span>' in page
    assert f"<b>{drawn.section_peg.section.label}</b>" in page
    assert f"<b>{drawn.section_peg.peg.number}</b>" in page
    assert '<b class="who-next">Perrin Stoat</b>' in page
    assert "Tell all 3 left at once" in page


def test_a_double_tap_tells_one_and_a_reload_goes_on_where_it_was(
    committed: Any, desk: Client
) -> None:
    send(desk, committed, do="begin")
    send(desk, committed, do="tell", told=0)
    assert "1 of 4 told" in send(desk, committed, do="tell", told=0)
    assert "1 of 4 told" in read(desk, at(committed))
    assert "1 of 4 told" in send(desk, committed, do="begin")


def test_the_last_tap_says_whose_peg_it_was_and_shows_the_whole_draw(
    committed: Any, desk: Client
) -> None:
    send(desk, committed, do="begin")
    for told in range(3):
        send(desk, committed, do="tell", told=told)
    page = send(desk, committed, do="tell", told=3)
    assert "Odette Marl: section" in page
    assert "Everybody has a peg now." in page
    assert "held, and it checks" in page


def test_all_the_rest_is_told_at_once(committed: Any, desk: Client) -> None:
    send(desk, committed, do="begin")
    send(desk, committed, do="tell", told=0)
    assert "held, and it checks" in send(desk, committed, do="rest")
    assert DrawnPeg.objects.count() == 4


@pytest.mark.parametrize("told", ["", "x", "-1", "9", "99999999999"])
def test_a_number_that_is_none_tells_nobody(committed: Any, desk: Client, told: str) -> None:
    send(desk, committed, do="begin")
    send(desk, committed, do="tell", told=told)
    assert DrawnPeg.objects.count() == 0


def test_a_tap_with_nothing_begun_is_refused_in_words(committed: Any, desk: Client) -> None:
    for do in ("tell", "rest"):
        assert "not being told one by one: begin that first" in send(desk, committed, do=do)
    assert DrawnPeg.objects.filter(draw__isnull=False).count() == 0


def test_the_board_shows_those_told_and_no_seed_until_all_are(
    committed: Any, anybody: Client
) -> None:
    draw = Draw.objects.get()
    draw_begin(committed.secretary, match=committed.match)
    page = read(anybody, BOARD)
    assert "Nobody’s peg is told yet." in page
    for told in range(3):
        draw_tell(committed.secretary, match=committed.match, told=told)
        page = read(anybody, BOARD)
        assert f"{told + 1} of 4 told" in page
        assert draw.seed not in page
        assert "Maud Ferris" in page
        for later in BEFORE_ALL_ARE_TOLD[told:]:
            assert later not in page
        for address in (BOARD + "1.json", HELD):
            assert anybody.get(address).status_code == 404
    draw_tell(committed.secretary, match=committed.match, told=3)
    page = read(anybody, BOARD)
    assert draw.seed in page
    assert "held, and it checks" in page


def test_nobody_reads_a_peg_elsewhere_before_it_is_told(committed: Any) -> None:
    draw_begin(committed.secretary, match=committed.match)
    draw_tell(committed.secretary, match=committed.match, told=0)
    member = signed_in(committed.member)
    page = read(member, f"/desk/matches/{committed.match.pk}/")
    assert page.count("no peg yet") == 3


def test_nothing_is_published_of_a_draw_half_told(committed: Any) -> None:
    draw_begin(committed.secretary, match=committed.match)
    draw_tell(committed.secretary, match=committed.match, told=0)
    with pytest.raises(Problem, match="told one by one"):
        bulletin_publish(committed.secretary, match=committed.match)


def test_the_board_says_how_many_accessible_pegs_were_kept_and_names_nobody(
    committed: Any, anybody: Client, desk: Client
) -> None:
    asks(committed, "Odette", "2", "6")
    page = read(desk, at(committed))
    assert "1 asks for an accessible peg, and 2 are accessible." in page
    assert "kept" not in read(anybody, BOARD)
    draw_hold(committed.secretary, match=committed.match)
    page = read(anybody, BOARD)
    assert "1 accessible peg was kept for one who asked." in page
    assert "asked for an accessible peg is shuffled and draws first" in page


def test_more_who_ask_than_accessible_pegs_are_told_on_the_page(
    committed: Any, desk: Client
) -> None:
    asks(committed, "Odette")
    for do in ("hold", "begin"):
        page = send(desk, committed, do=do)
        assert "More ask for an accessible peg (1) than there are (0)" in page
    assert Draw.objects.get().told is None


@pytest.mark.parametrize("stage", ["committed", "telling", "held"])
def test_the_draws_pages_ask_few_questions(
    committed: Any, anybody: Client, desk: Client, stage: str
) -> None:
    if stage == "telling":
        draw_begin(committed.secretary, match=committed.match)
        draw_tell(committed.secretary, match=committed.match, told=0)
    if stage == "held":
        draw_hold(committed.secretary, match=committed.match)
    for client, address in [(anybody, BOARD), (desk, at(committed))]:
        with CaptureQueriesContext(connection) as asked:
            read(client, address)
        assert len(asked) <= 10, [q["sql"] for q in asked]


def checked(path: Path) -> str:
    out = StringIO()
    call_command("draw_check", str(path), stdout=out)
    return out.getvalue()


@pytest.fixture
def file(committed: Any, anybody: Client, tmp_path: Path) -> Path:
    """The whole draw, loaded from the board."""
    asks(committed, "Odette", "2", "6")
    draw_begin(committed.secretary, match=committed.match)
    draw_tell_rest(committed.secretary, match=committed.match)
    path = tmp_path / "draw.json"
    path.write_bytes(anybody.get(HELD).content)
    return path


def test_the_command_checks_the_file_of_a_whole_draw(file: Path) -> None:
    assert "all 4 pegs follow from it" in checked(file)


def test_the_command_names_every_difference(file: Path) -> None:
    whole = json.loads(file.read_text())
    first, second = whole["assignments"][:2]
    first["peg"], second["peg"] = second["peg"], first["peg"]
    first["section"], second["section"] = second["section"], first["section"]
    whole["commitment"] = "0" * 64
    file.write_text(json.dumps(whole))
    with pytest.raises(CommandError) as refused:
        checked(file)
    lines = str(refused.value).splitlines()
    assert lines[0] == "The seed does not give the commitment."
    assert [line.split(" has ")[0] for line in lines[1:]] == [
        f"Number {a['angler']}" for a in (first, second)
    ]


def test_the_command_misses_nobody_left_out_or_added(file: Path) -> None:
    whole = json.loads(file.read_text())
    gone = whole["assignments"].pop()["angler"]
    whole["assignments"].append({"angler": "added", "section": "A", "peg": "1"})
    file.write_text(json.dumps(whole))
    with pytest.raises(CommandError) as refused:
        checked(file)
    assert f"Number {gone} has no peg; the seed gives section" in str(refused.value)
    assert "Number added has section A, peg 1; the seed gives no peg." in str(refused.value)


@pytest.mark.parametrize(
    ("content", "said"),
    [
        ("{", "not JSON"),
        ("[]", "not the file of a whole draw"),
        ('{"seed": "00"}', "not the file of a whole draw"),
        ('{"request": {}, "commitment": "", "assignments": []}', "cannot be worked out anew"),
    ],
)
def test_the_command_refuses_other_files_in_words(tmp_path: Path, content: str, said: str) -> None:
    path = tmp_path / "draw.json"
    path.write_text(content)
    with pytest.raises(CommandError, match=said):
        checked(path)
    with pytest.raises(CommandError, match="cannot be read"):
        checked(tmp_path / "nowhere.json")


@pytest.mark.parametrize("pegs", ["5", [{"angler": []}], [{"angler": "1"}], None])
def test_the_command_refuses_pegs_that_are_none(file: Path, pegs: object) -> None:
    file.write_text(json.dumps({**json.loads(file.read_text()), "assignments": pegs}))
    with pytest.raises(CommandError, match="cannot be read: load it again"):
        checked(file)


def test_pegs_swapped_behind_the_draw_stand_in_the_file_and_the_command_finds_them(
    committed: Any, anybody: Client, tmp_path: Path
) -> None:
    draw_hold(committed.secretary, match=committed.match)
    one, other = DrawnPeg.objects.order_by("entry")[:2]
    pegs = one.section_peg_id, other.section_peg_id
    DrawnPeg.objects.filter(pk__in=[one.pk, other.pk]).delete()
    for row, peg in zip((other, one), pegs, strict=True):
        row.pk, row.section_peg_id = None, peg
        row.save()
    path = tmp_path / "draw.json"
    path.write_bytes(anybody.get(HELD).content)
    with pytest.raises(CommandError) as refused:
        checked(path)
    assert len(str(refused.value).splitlines()) == 2
    assert "held, but it does not check" in read(anybody, BOARD)


def test_the_file_of_a_draw_kept_without_lists_is_not_there(
    committed: Any, anybody: Client
) -> None:
    draw_hold(committed.secretary, match=committed.match)
    Draw.objects.update(asked={})
    assert anybody.get(HELD).status_code == 404
    assert "held, but it does not check" in read(anybody, BOARD)
