"""Which pages are graded, and as whom they are read; what else can be asked for, and why not it.

`tests/web/test_read_aloud.py` holds that every address anyone can read is in one of the two.
"""

from __future__ import annotations

#: Read by anybody, signed out. Search engines may keep those of FOUND.
PUBLIC = [
    *("home", "privacy", "api-page", "sign-in", "recover", "recover-mail", "recover-link", "join"),
    *("board:clubs", "board:club", "board:latest", "board:bulletin", "board:draw"),
    *("board:league", "board:league-table", "board:season", "offline"),
    *("light", "language"),
]
FOUND = [
    *("home", "privacy", "api-page", "board:clubs", "board:club", "board:latest"),
    *("board:bulletin", "board:draw", "board:league", "board:league-table", "bank:shell"),
]
#: Read by a member who is entered.
OWN = [
    "bank:shell",
    *("desk:plan", "desk:suggestion", "desk:mixing", "desk:throws", "desk:where"),
    *("desk:statement", "desk:review", "desk:address", "desk:account", "desk:own-data"),
    *("desk:second-factor", "desk:pages", "desk:keys"),
]
#: Read by the secretary, who reads what captains read too.
SECRETARY = [
    *("desk:home", "desk:phones", "desk:calendar", "desk:tokens", "desk:webhooks", "desk:sign-ins"),
    *("desk:match", "desk:match-new", "desk:settings", "desk:scoring", "desk:limits", "desk:draw"),
    *("desk:invitation", "desk:entries", "desk:entrant", "desk:receipt", "desk:weighers"),
    *("desk:match-pegs", "desk:match-even", "desk:weigh", "desk:publish", "desk:juniors"),
    *("desk:pools", "desk:pool-new", "desk:pool", "desk:payouts", "desk:prize-receipt"),
    *("desk:leagues", "desk:league-new", "desk:league", "desk:league-rules", "desk:league-rounds"),
    *(
        "desk:team",
        "desk:plan-giving",
        "desk:order",
        "desk:order-print",
        "desk:why",
        "desk:kitty",
        "desk:bags",
    ),
    *("desk:labels", "desk:larder", "desk:left-over", "desk:season", "desk:truth"),
    *("desk:bait-cost", "desk:shops", "desk:shop", "desk:price-list", "desk:pack-new"),
    *("desk:pack", "desk:baits", "desk:bait", "desk:venues", "desk:venue", "desk:venue-form"),
    *("desk:peg-new", "desk:peg", "desk:peg-file", "desk:files", "desk:file-in", "desk:file-kept"),
    *("desk:trail", "desk:angler-gone", "desk:book"),
]
#: Graded as on a desk too.
MAIN = {
    *("home", "sign-in", "board:club", "board:latest", "board:draw", "board:league", "bank:shell"),
    *("desk:plan", "desk:home", "desk:match", "desk:weigh", "desk:pools", "desk:team"),
    *("desk:order", "desk:larder", "desk:season", "desk:venue"),
}
#: By why they are not graded.
NOT_PAGES = {
    "the page of the same name without member-, read by somebody else": (
        "desk:member-plan desk:member-suggestion desk:member-mixing desk:member-throws "
        "desk:member-where desk:member-statement desk:member-review"
    ),
    "a file, a picture or data, no page": (
        "desk:order-stands desk:order-text desk:order-csv desk:order-calendar desk:invitation-qr "
        "desk:file-sample desk:notes-csv desk:notes-json desk:own-data-zip desk:price-list-csv "
        "desk:weigh-changes desk:pegs-csv desk:pegs-geojson board:season-calendar board:draw-json "
        "board:draw-held board:csv board:json board:text board:card board:card-square "
        "board:league-csv board:league-json own-calendar"
    ),
    "there between a right password and a right code alone": "second-step",
    "for whoever keeps the server, in no club yet: it is read once": "desk:club-new",
    "for machines": "health ready metrics security-txt serviceworker manifest",
}


def readers() -> dict[str, str]:
    """By name of each page, who reads it: "out", "own" or "secretary"."""
    whose = {"out": PUBLIC, "own": OWN, "secretary": SECRETARY}
    return {name: who for who, names in whose.items() for name in names}


def left_out() -> dict[str, str]:
    """By name of what is not graded, why."""
    return {name: why for why, names in NOT_PAGES.items() for name in names.split()}
