"""The draw against published hash values, worked examples and the laws of chance."""

from __future__ import annotations

import hashlib
from collections import Counter
from itertools import permutations, product

import pytest
from scipy.stats import chi2, chisquare

from matches.reckon.draw import (
    DrawAngler,
    DrawRequest,
    DrawSection,
    Mode,
    draw_commitment,
    draw_stream,
    draw_work_out,
    number_below,
    shuffled,
)


@pytest.mark.parametrize(
    ("message", "digest"),
    [
        # Source: FIPS 180-4 example values for SHA-256.
        (b"abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"),
        (b"", "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"),
        (
            b"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
            "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
        ),
    ],
)
def test_the_hash_is_that_of_the_standard(message: bytes, digest: str) -> None:
    assert hashlib.sha256(message).hexdigest() == digest
    assert draw_commitment(message) == digest


def test_the_numbers_are_the_first_eight_bytes_of_each_hash() -> None:
    seed = bytes(range(32))
    stream = draw_stream(seed)
    for k in range(300):
        hexadecimal = hashlib.sha256(seed + bytes.fromhex(f"{k:016x}")).hexdigest()
        assert next(stream) == int(hexadecimal[:16], 16)


# Source: worked for this calculator's description with an independent program.
def test_the_worked_open_draw() -> None:
    seed = bytes(31) + b"\x01"
    anglers = tuple(DrawAngler(name) for name in "abcde")
    sections = (DrawSection("A", ("1", "2", "3", "4", "5")),)
    drawn = draw_work_out(DrawRequest(seed, anglers, sections, "open"))
    assert drawn.commitment == "ec4916dd28fc4c10d78e287ca5d9cc51ee1ae73cbfde08c6b37324cbfaac8bc5"
    assert {a.angler: a.peg for a in drawn.assignments} == {
        "a": "1",
        "b": "2",
        "e": "3",
        "c": "4",
        "d": "5",
    }


def test_the_worked_team_draw() -> None:
    seed = bytes(31) + b"\x01"
    anglers = tuple(
        DrawAngler(f"{team}{n}", team) for team in ("teals", "larkmill", "alders") for n in (1, 2)
    )
    sections = (DrawSection("B", ("4", "5", "6")), DrawSection("A", ("1", "2", "3")))
    drawn = draw_work_out(DrawRequest(seed, anglers, sections, "team"))
    assert {(a.section, a.peg): a.angler for a in drawn.assignments} == {
        ("A", "1"): "alders2",
        ("A", "2"): "teals1",
        ("A", "3"): "larkmill2",
        ("B", "4"): "alders1",
        ("B", "5"): "larkmill1",
        ("B", "6"): "teals2",
    }


def test_the_shuffle_gives_each_order_of_three_once() -> None:
    # Source: the shuffle of Fisher and Yates, counted out: 3 × 2 choices, 6 orders.
    orders = [tuple(shuffled("abc", stream=iter(pair))) for pair in product(range(3), range(2))]
    assert sorted(orders) == sorted(permutations("abc"))


def test_a_byte_taken_mod_six_favours_the_small_and_skipping_mends_it() -> None:
    # Counted out: 256 = 42 · 6 + 4, so four of the six numbers come 43 times and two come 42.
    assert sorted(Counter(byte % 6 for byte in range(256)).values()) == [42, 42, 43, 43, 43, 43]
    # The same at 64 bits for a bound that leaves nearly half over: every number kept is kept once.
    bound = 2**63 + 2**62
    kept = [0, 1, bound - 1]
    over = [bound, bound + 5, 2**64 - 1]
    stream = iter([*over, *kept])
    assert [number_below(stream, bound=bound) for _ in kept] == kept


def test_the_chi_square_used_here_is_the_textbook_one() -> None:
    # Source: the usual worked die: 5, 8, 9, 8, 10, 20 of 60 gives 13.4, p 0.019905; and the 95 %
    # points of the printed tables.
    worked = chisquare([5, 8, 9, 8, 10, 20])
    assert worked.statistic == pytest.approx(13.4)
    assert worked.pvalue == pytest.approx(0.019905, abs=5e-7)
    assert chi2.ppf(0.95, 5) == pytest.approx(11.070498, abs=5e-7)
    assert chi2.ppf(0.95, 23) == pytest.approx(35.172462, abs=5e-7)


# The seeds are fixed, so these either always pass or never do: below the 95 % points.
def test_pegs_come_evenly_to_one_angler() -> None:
    anglers = tuple(DrawAngler(name) for name in "abcdef")
    sections = (DrawSection("A", ("1", "2", "3", "4", "5", "6")),)
    pegs: Counter[str] = Counter()
    for n in range(3_000):
        request = DrawRequest(_seed("pegs", n), anglers, sections, "open")
        pegs[draw_work_out(request).assignments[0].peg] += 1
    assert chisquare([pegs[str(n)] for n in range(1, 7)]).statistic < 11.070498


def test_orders_of_four_come_evenly() -> None:
    orders = Counter(
        "".join(shuffled("abcd", stream=draw_stream(_seed("orders", n)))) for n in range(6_000)
    )
    assert len(orders) == 24
    assert chisquare(list(orders.values())).statistic < 35.172462


def test_sections_come_evenly_in_a_team_draw() -> None:
    anglers = tuple(DrawAngler(f"{team}{n}", team) for team in "ab" for n in range(6))
    sections = tuple(DrawSection(name, (f"{name}1", f"{name}2")) for name in "ABCDEF")
    seen: Counter[str] = Counter()
    for n in range(2_000):
        request = DrawRequest(_seed("team", n), anglers, sections, "team")
        seen[draw_work_out(request).assignments[0].section] += 1
    assert chisquare([seen[name] for name in "ABCDEF"]).statistic < 11.070498


def _asking(names: str, *, teams: str = "") -> tuple[DrawAngler, ...]:
    """Capitals ask for an accessible peg; of each team one, where there are teams."""
    return tuple(
        DrawAngler(name, team or None, name.isupper())
        for name, team in zip(names, teams or [""] * len(names), strict=True)
    )


def _ways(
    what: str,
    anglers: tuple[DrawAngler, ...],
    sections: tuple[DrawSection, ...],
    *,
    mode: Mode = "open",
    of: str,
    times: int,
) -> Counter[tuple[str, ...]]:
    """How often the anglers `of` together drew which pegs."""
    ways: Counter[tuple[str, ...]] = Counter()
    for n in range(times):
        request = DrawRequest(_seed(what, n), anglers, sections, mode)
        at = {a.angler: a.peg for a in draw_work_out(request).assignments}
        ways[tuple(at[angler] for angler in of)] += 1
    return ways


def test_accessible_pegs_come_evenly_to_one_who_asks() -> None:
    bank = (
        DrawSection("A", ("1", "2", "3", "4"), frozenset("124")),
        DrawSection("B", ("5", "6", "7", "8", "9"), frozenset("678")),
    )
    ways = _ways("one asks", _asking("abCd"), bank, of="C", times=3_000)
    assert set(ways) == {(peg,) for peg in "124678"}
    assert chisquare(list(ways.values())).statistic < 11.070498


def test_what_is_left_comes_evenly_to_who_does_not_ask() -> None:
    bank = (DrawSection("A", tuple("1234567"), frozenset("4")),)
    ways = _ways("the rest", _asking("abcdefG"), bank, of="b", times=3_000)
    assert set(ways) == {(peg,) for peg in "123567"}
    assert chisquare(list(ways.values())).statistic < 11.070498


def test_three_who_ask_share_four_accessible_pegs_evenly() -> None:
    bank = (
        DrawSection("A", ("1", "2", "3"), frozenset("13")),
        DrawSection("B", ("4", "5", "6"), frozenset("46")),
    )
    ways = _ways("three ask", _asking("ABCd"), bank, of="ABC", times=6_000)
    assert len(ways) == 24
    assert chisquare(list(ways.values())).statistic < 35.172462


def test_in_a_team_draw_with_one_of_each_team_asking_every_way_comes_evenly() -> None:
    bank = (
        DrawSection("A", ("1", "2"), frozenset("12")),
        DrawSection("B", ("3", "4"), frozenset("3")),
    )
    anglers = _asking("aBcD", teams="xxyy")
    ways = _ways("teams ask", anglers, bank, mode="team", of="BD", times=3_000)
    assert len(ways) == 6
    assert chisquare(list(ways.values())).statistic < 11.070498


def test_turns_are_even_between_two_of_one_team_who_ask() -> None:
    # Counted out: A has one accessible peg, B two. Who draws first takes each of the three with
    # 1/3: after A's the other has two to draw from, after one of B's only A's is left. So A at 1
    # and B at 3 come with 1/2 · 1/3 · 1/2 + 1/2 · 1/3 = 1/4, and so do the other three ways.
    bank = (
        DrawSection("A", ("1", "2"), frozenset("1")),
        DrawSection("B", ("3", "4"), frozenset("34")),
    )
    anglers = _asking("ABcd", teams="xxyy")
    ways = _ways("one team", anglers, bank, mode="team", of="AB", times=3_000)
    assert set(ways) == {("1", "3"), ("1", "4"), ("3", "1"), ("4", "1")}
    # Source: the 95 % point for 3 degrees of freedom of the printed tables, 7.815.
    assert chisquare(list(ways.values())).statistic < 7.815


# Source: worked with hashlib and a pencil from the recipe, without the calculator.
def test_an_access_draw_worked_by_hand() -> None:
    seed = bytes(31) + b"\x01"
    numbers = (
        int.from_bytes(hashlib.sha256(seed + k.to_bytes(8, "big")).digest()[:8], "big")
        for k in range(9)
    )
    # b and d ask. Shuffle [b, d]: one number below 2 says who of them is swapped with d.
    turns = ["b", "d"]
    swap = next(numbers) % 2
    turns[1], turns[swap] = turns[swap], turns[1]
    open_to = ["1", "3", "5"]
    at = {}
    for angler in turns:
        at[angler] = open_to.pop(next(numbers) % len(open_to))
    # a, c and e are shuffled with numbers below 3 and 2, and walk along what is left.
    others = ["a", "c", "e"]
    for i in (2, 1):
        j = next(numbers) % (i + 1)
        others[i], others[j] = others[j], others[i]
    left = [peg for peg in "123456" if peg not in at.values()]
    at.update(zip(others, left, strict=False))
    bank = (
        DrawSection("A", ("1", "2", "3"), frozenset("13")),
        DrawSection("B", ("4", "5", "6"), frozenset("5")),
    )
    anglers = tuple(DrawAngler(name, None, name in "bd") for name in "abcde")
    drawn = draw_work_out(DrawRequest(seed, anglers, bank, "open"))
    assert {a.angler: a.peg for a in drawn.assignments} == at


def _seed(what: str, number: int) -> bytes:
    return hashlib.sha256(f"{what} {number}".encode()).digest()


def test_the_habit_meets_the_example_of_rfc_3797() -> None:
    """A selection from public numbers by hash, as RFC 3797 section 6 works it.

    Its hash is MD5 and it takes names out one by one instead of shuffling: what is checked here
    is the reading of counters and hashes as big-endian numbers that the draw shares with it.
    """
    key = b"9319./2.5.8.10.12./9.18.26.34.41.45./"
    left = list(range(1, 26))
    chosen = []
    for k in range(10):
        counter = k.to_bytes(2, "big")
        hashed = hashlib.md5(counter + key + counter, usedforsecurity=False).digest()
        chosen.append(left.pop(int.from_bytes(hashed, "big") % len(left)))
    assert chosen == [17, 7, 2, 16, 25, 23, 8, 24, 19, 13]
