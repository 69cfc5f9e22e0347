"""Who may do what: role × object × verb, once for every address of the site but the admin's.

`tests/web/test_rights_pages.py` walks it: every address, read and written to, by every role. A new
address without a row fails there, and the table in web/docs/rights.md is this one in short.
"""

from __future__ import annotations

from typing import NamedTuple

#: Columns. "out" is signed out; "removed" was the team's captain and is off the list; the "keeper"
#: of the server has the admin and is in no club; the "clubmate" is in no team and not entered; the
#: "rival" is captain of another team; "own" is the angler whose entry it is.
ROLES = (
    "out", "other club", "removed", "keeper", "clubmate", "rival", "own", "captain", "weigher",
    "secretary",
)  # fmt: skip

#: By whom something is for: what each role is answered. "may" is no refusal, "in" the way to
#: sign in (401 in the API), 403 a refusal in words; what is 404 is not there for them.
FOR = {
    #               out   other  rem.   keeper mate   rival  own    capt.  weigh. secr.
    "anyone":      "may   may    may    may    may    may    may    may    may    may",
    "signed in":   "in    may    may    may    may    may    may    may    may    may",
    "club":        "in    404    404    404    may    may    may    may    may    may",
    "entered":     "in    404    404    404    404    may    may    may    404    404",
    "angler":      "in    404    404    404    403    403    may    may    403    may",
    "team":        "in    404    404    404    403    403    may    may    403    may",
    "captain":     "in    404    404    404    403    403    403    may    403    may",
    "captains":    "in    404    404    404    403    may    403    may    403    may",
    "work asked":  "in    404    404    404    404    404    404    may    404    may",
    "weighers":    "in    404    404    404    403    403    403    403    may    may",
    "secretary":   "in    404    404    404    403    403    403    403    403    may",
    "club or was": "in    404    may    404    may    may    may    may    may    may",
    "signals":     "in    404    403    404    403    403    403    403    may    may",
    "rulings":     "in    404    403    404    403    403    403    403    403    may",
    "key owner":   "in    404    404    404    404    404    may    404    404    404",
    "file owner":  "in    404    404    404    404    404    404    404    404    may",
    "letter owner": "in   404    404    404    404    404    may    404    404    404",
    "site keeper": "in    403    403    may    403    403    403    403    403    403",
    "nobody":      "no    no     no     no     no     no     no     no     no     no",
}  # fmt: skip


class Row(NamedTuple):
    """`reads`, `writes`: a key of FOR. "nobody" is a verb the address does not have (405)."""

    thing: str
    reads: str
    writes: str
    names: str


#: `names` are the addresses of the thing: what is read and written by the same people is one row.
ROWS = (
    Row("the front door", "anyone", "anyone", "home health sign-in join "
        "recover recover-mail recover-link"),
    Row("the language one is spoken to in", "anyone", "anyone", "language"),
    Row("the light of the screen", "anyone", "anyone", "light"),
    Row("what is held about people", "anyone", "nobody", "privacy"),
    Row("what machines ask", "anyone", "nobody", "ready metrics"),
    Row("whom to tell of a hole", "anyone", "nobody", "security-txt"),
    Row("signing out", "nobody", "anyone", "sign-out"),
    Row("the phone app", "anyone", "nobody", "bank:shell"),
    # A file of the app for whatever verb: these write nothing.
    Row("files of the phone app", "anyone", "anyone", "serviceworker manifest offline"),
    Row(
        "calculators",
        "nobody",
        "anyone",
        "api:reckon-draw api:reckon-league api:reckon-lines api:reckon-mix api:reckon-placement "
        "api:reckon-order api:reckon-payouts api:reckon-placings",
    ),
    Row("the API's description", "anyone", "nobody", "api:schema api-page"),
    Row(
        "what is published",
        "anyone",
        "nobody",
        "board:clubs board:club board:season-calendar board:latest board:draw board:draw-json "
        "board:draw-held board:bulletin board:csv board:json board:text board:card "
        "board:card-square board:league board:league-table board:league-csv board:league-json "
        "board:season",
    ),
    Row(
        "one's own lists",
        "signed in",
        "nobody",
        "api:me api:matches api:teams api:baits api:shops desk:home desk:notes-csv desk:notes-json",
    ),
    Row("the pages one may open, and the keys", "signed in", "nobody", "desk:pages desk:keys"),
    Row("one's phones", "signed in", "signed in", "api:sync-keys desk:phones"),
    Row("one's account", "signed in", "signed in", "desk:account desk:second-factor second-step"),
    Row("what one was told of it", "nobody", "signed in", "desk:notices"),
    Row("an address to be confirmed", "letter owner", "letter owner", "desk:address"),
    Row("one's own data", "signed in", "signed in", "desk:own-data"),
    Row("all of it as one file", "signed in", "nobody", "desk:own-data-zip"),
    Row("one's tokens and calendar", "signed in", "signed in", "desk:tokens desk:calendar"),
    Row("the calendar of who has its address", "anyone", "nobody", "own-calendar"),
    Row("a key of one's phone", "nobody", "key owner", "api:sync-key"),
    # Each fact sent is judged by itself; of a match that is not theirs none is taken.
    Row("facts of a match", "club", "signed in", "api:sync-facts"),
    Row(
        "a match",
        "club",
        "nobody",
        "api:sync-match api:match api:entries api:pools api:match-pegs desk:match",
    ),
    Row("scoring, bait limits, entries", "club", "secretary", "desk:limits desk:scoring "
        "desk:entries"),
    Row("bulletins", "club", "secretary", "api:bulletins"),
    Row("leagues", "club", "nobody", "api:leagues api:league-table desk:leagues desk:league"),
    Row(
        "keeping leagues",
        "secretary",
        "secretary",
        "desk:league-new desk:league-rules desk:league-rounds",
    ),
    Row("a league made by mistake", "nobody", "secretary", "desk:league-delete"),
    Row(
        "setting up a match",
        "secretary",
        "secretary",
        "desk:match-new desk:settings desk:draw desk:match-pegs desk:weighers desk:invitation",
    ),
    Row("a new club", "site keeper", "site keeper", "desk:club-new"),
    Row("anglers, teams and captains", "secretary", "secretary", "desk:book"),
    Row("who signs in, and codes for them", "secretary", "secretary", "desk:sign-ins"),
    Row("what that leads to", "secretary", "nobody", "desk:match-even desk:invitation-qr"),
    Row("the trail of changes", "secretary", "nobody", "desk:trail"),
    Row("erasing an angler", "secretary", "secretary", "desk:angler-gone"),
    Row("juniors", "secretary", "secretary", "desk:juniors"),
    Row("an entrant's account", "secretary", "secretary", "desk:entrant"),
    Row("pools and prizes", "secretary", "secretary", "desk:pool-new desk:pool desk:payouts"),
    Row("lists and receipts of money", "secretary", "nobody", "desk:pools desk:receipt "
        "desk:prize-receipt"),
    Row("publishing", "secretary", "secretary", "desk:publish"),
    Row("objections, rulings", "nobody", "secretary", "desk:objection-note desk:objection-answer "
        "desk:settle"),
    Row("the scales", "weighers", "weighers", "desk:weigh"),
    Row("the scales' board", "weighers", "nobody", "desk:weigh-changes api:weigh-board "
        "api:disagreements"),
    Row("a weight looked at", "nobody", "weighers", "desk:weigh-seen"),
    Row("addresses that are told", "secretary", "secretary", "desk:webhooks"),
    Row(
        "venues and pegs",
        "secretary",
        "secretary",
        "desk:venues desk:venue desk:peg-new desk:peg desk:peg-file",
    ),
    Row("a venue's form and files", "secretary", "nobody", "desk:venue-form desk:pegs-csv "
        "desk:pegs-geojson"),
    Row("one's own plan", "entered", "entered", "api:plan desk:plan desk:mixing desk:throws "
        "desk:where"),
    Row("what one's plan leads to", "entered", "nobody", "api:plan-suggestion desk:suggestion "
        "desk:statement desk:review"),
    Row("an angler's plan", "angler", "angler", "desk:member-plan desk:member-mixing "
        "desk:member-throws desk:member-where"),
    Row("what an angler's plan leads to", "angler", "nobody", "desk:member-suggestion "
        "desk:member-statement desk:member-review"),
    Row("a team's larder", "team", "team", "desk:larder desk:left-over"),
    Row("a team's season", "team", "team", "desk:season api:season"),
    Row("a team's bait after matches", "team", "nobody", "desk:truth desk:bait-cost "
        "api:bait-truth api:bait-cost"),
    Row("a team's order", "captain", "captain", "desk:order desk:plan-giving desk:why desk:kitty "
        "desk:bags api:plans api:order-why api:order-spare"),
    Row(
        "sheets of an order",
        "captain",
        "nobody",
        "api:order desk:team desk:order-stands desk:order-text desk:order-csv desk:order-print "
        "desk:order-calendar desk:labels",
    ),
    Row("having an order worked out", "nobody", "captain", "api:order-work"),
    Row("how far that is", "work asked", "nobody", "api:work"),
    Row("shops and baits", "captains", "captains", "desk:shops desk:shop desk:price-list "
        "desk:pack-new desk:pack desk:baits desk:bait"),
    Row("a price list as a file", "captains", "nobody", "desk:price-list-csv"),
    Row("files in and out", "captains", "nobody", "desk:files"),
    Row("a file sent by a program", "nobody", "captains", "api:imports"),
    Row("a file that comes in", "secretary", "secretary", "desk:file-in"),
    Row("a sample of one", "secretary", "nobody", "desk:file-sample"),
    Row("all of a club", "nobody", "secretary", "desk:club-zip"),
    Row("a file between look and import", "file owner", "file owner", "desk:file-kept"),
)  # fmt: skip

#: By kind of fact, from whom one is taken. Who was removed meanwhile may have logged it before: it
#: is stored and put before the secretary. What a fact may do to another is in
#: `test_sync_disagree.py`.
FACTS = {
    "weigh_in": "club or was",
    "feed_note": "club or was",
    "fish_note": "club or was",
    "peg_note": "club or was",
    "line_note": "club or was",
    "feed_test": "club or was",
    "feed_throw": "club or was",
    "scratch": "club or was",
    "signal": "signals",
    "ruling": "rulings",
}

#: The writing verb, where it is not POST.
VERBS = {"api:plan": "put", "api:order-spare": "put", "api:sync-key": "delete"}


def answers(whose: str) -> dict[str, str]:
    """By role: "may", "in", "403", "404", or "no" for a verb that is not there."""
    return dict(zip(ROLES, FOR[whose].split(), strict=True))


def by_name() -> dict[str, Row]:
    """The row of each address."""
    return {name: row for row in ROWS for name in row.names.split()}


def in_short() -> str:
    """The table for people, in Markdown: what each role is answered, then what is for whom."""
    lines = ["| for | " + " | ".join(ROLES) + " |", "|---" * (len(ROLES) + 1) + "|"]
    for whose in FOR:
        if whose != "nobody":
            lines.append(f"| {whose} | " + " | ".join(answers(whose).values()) + " |")
    lines += ["", "| what | read by | written by |", "|---|---|---|"]
    for row in ROWS:
        cells = (row.thing, *("–" if of == "nobody" else of for of in (row.reads, row.writes)))
        lines.append("| " + " | ".join(cells) + " |")
    for whose in dict.fromkeys(FACTS.values()):
        kinds = ", ".join(kind for kind, of in FACTS.items() if of == whose)
        lines.append(f"| a fact: {kinds} | – | {whose} |")
    return "\n".join(lines)


if __name__ == "__main__":
    print(in_short())
