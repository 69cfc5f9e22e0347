"""What a row of the trail is about, in words: its kind, and what was done."""

from __future__ import annotations

from typing import Final

from django.db.models import Q
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

#: Kinds that the trail can be looked through by: their words, and how the verbs begin.
KINDS: Final[dict[str, tuple[Promise, tuple[str, ...]]]] = {
    "draw": (_("Draw"), ("draw_",)),
    "results": (
        _("Weighing and results"),
        ("weighing_", "disagreement_", "bulletin_", "objection_", "entry_status_"),
    ),
    "leagues": (_("Leagues"), ("league_",)),
    "money": (_("Money"), ("fee", "stake", "pool_", "prize_", "kitty.", "order.settle")),
    "people": (
        _("People and roles"),
        (
            *("weigher_", "invitation_", "device_", "angler_", "person_", "junior_", "api_token_"),
            "calendar_link_",
            *("address_", "club_begin", "captain_", "language_", "password_", "recovery_"),
            *("second_factor_", "session_"),
        ),
    ),
    "match": (
        _("Matches and entries"),
        ("match_", "entry_", "sections_", "pegs_leave", "peg_left"),
    ),
    "venue": (_("Venues and pegs"), ("venue_", "peg_", "pegs_import")),
    "bait": (
        _("Bait, plans and orders"),
        (
            *("order.", "larder.", "plan.", "plans.", "template.", "throw.", "limits.", "season."),
            *("bait.", "pack.", "shop.", "price_list."),
        ),
    ),
    "told": (_("Addresses that are told"), ("webhook_", "delivery_")),
    "keeper": (_("The site’s keeper"), ("admin.", "epoch_", "notes_")),
}

VERBS: Final[dict[str, Promise]] = {
    "address_set": _("E-mail address changed"),
    "admin.added": _("Added by the site’s keeper"),
    "admin.changed": _("Changed by the site’s keeper"),
    "admin.deleted": _("Deleted by the site’s keeper"),
    "admin.moved_away": _("Moved to another club by the site’s keeper"),
    "angler_account_set": _("Account joined to an angler"),
    "angler_add": _("Angler added to the book"),
    "api_token_make": _("Token for a program made"),
    "api_token_revoke": _("Token for a program revoked"),
    "bait.added": _("Bait added"),
    "bait.changed": _("Bait changed"),
    "bait.deleted": _("Bait deleted"),
    "shop.example_added": _("Example shop added"),
    "bait.usual_added": _("Usual baits added"),
    "bait.packs_retired": _("Packs of a bait retired"),
    "bulletin_publish": _("Bulletin published"),
    "calendar_link_end": _("Address of one’s own calendar ended"),
    "calendar_link_make": _("Address of one’s own calendar made"),
    "captain_name": _("Captain named"),
    "captain_take_back": _("Captain’s role taken back"),
    "club_begin": _("Club begun"),
    "delivery_again": _("Message sent again"),
    "device_key_add": _("Phone may hand over facts"),
    "device_key_revoke": _("Phone taken off the list"),
    "disagreement_rule": _("Disagreement ruled on"),
    "draw_begin": _("Draw begun"),
    "draw_commit": _("Draw’s commitment published"),
    "draw_hold": _("Draw held"),
    "draw_tell": _("Draw told, one angler more"),
    "entry_access_set": _("Need for easy access set"),
    "entry_add": _("Entered in a match"),
    "entry_status_set": _("How an entry ended was set"),
    "entry_taken_in": _("Taken in from the waiting list"),
    "entry_withdraw": _("Withdrawn from a match"),
    "epoch_renew": _("A copy was put back"),
    "fee_give_back": _("Fee given back"),
    "fee_take": _("Fee taken"),
    "fees_take": _("Fees taken"),
    "invitation_end": _("Invitation ended"),
    "invitation_make": _("Invitation made"),
    "invitation_take": _("Came in by an invitation"),
    "kitty.paid_back": _("Paid back from the kitty"),
    "kitty.shop_charged": _("A shop’s bill noted"),
    "kitty.shop_paid": _("A shop paid"),
    "kitty.taken_back": _("A payment taken back"),
    "junior_set": _("Junior, and whether the name is shown"),
    "language_choose": _("Language and measures chosen"),
    "league_delete": _("League deleted"),
    "league_edit": _("League’s rules changed"),
    "league_make": _("League made"),
    "league_rounds_set": _("League’s rounds set"),
    "league_table_make": _("League table published"),
    "limits.saved": _("Bait limits set"),
    "match_add": _("Match planned"),
    "match_call_back": _("Match back on"),
    "match_call_off": _("Match called off"),
    "match_change": _("Match changed"),
    "match_end_shift": _("End of a match shifted"),
    "match_river_set": _("River of a match set"),
    "match_scoring_set": _("Scoring of a match set"),
    "notes_let_go": _("Old notes emptied"),
    "objection_answer": _("Objection answered"),
    "objection_note": _("Objection noted"),
    "order.asked": _("Order asked for"),
    "order.placed": _("Order placed"),
    "order.received": _("Order received"),
    "order.bagged": _("Bags filled"),
    "order.settled": _("Order settled"),
    "order.settle_taken_back": _("Order unsettled"),
    "order.withdrawn": _("Order withdrawn"),
    "order.worked_out": _("Order worked out"),
    "password_change": _("Password changed"),
    "peg_add": _("Peg added"),
    "peg_change": _("Peg changed"),
    "peg_delete": _("Peg deleted"),
    "peg_move": _("Peg moved"),
    "peg_retire": _("Peg retired"),
    "peg_bring_back": _("Peg brought back"),
    "pegs_import": _("Pegs taken from a file"),
    "pegs_leave_out": _("Pegs left out of a match"),
    "peg_left_out_back": _("A peg back in a match"),
    "person_erase": _("A person’s data erased"),
    "person_erase_ask": _("A member asked to be erased"),
    "person_erase_take_back": _("A member stays after all"),
    "person_secretary_name": _("Another secretary named"),
    "plan.saved": _("Plan saved"),
    "plans.given": _("One plan given to several"),
    "plans.taken_back": _("Plans of before given back"),
    "pool_add": _("Pool added"),
    "pool_change": _("Pool changed"),
    "pool_entries_set": _("Who is in a pool was set"),
    "pool_remove": _("Pool removed"),
    "price_list.imported": _("Price list taken in"),
    "prize_hand_over": _("Prize handed over"),
    "prize_take_back": _("Prize taken back"),
    "recovery_by_mail": _("New password set by an e-mail’s link"),
    "recovery_end": _("Code for a lost password ended"),
    "recovery_make": _("Code made for a lost password"),
    "recovery_make_by_keeper": _("Code made for a lost password, by who runs the server"),
    "recovery_use": _("New password set by a code"),
    "second_factor_off": _("Codes besides the password turned off"),
    "second_factor_off_by_keeper": _(
        "Codes besides the password turned off, by who runs the server"
    ),
    "second_factor_on": _("Codes besides the password turned on"),
    "second_factor_spare": _("Signed in with a spare code"),
    "sections_set": _("Sections set"),
    "session_end": _("A device signed out from afar"),
    "stake_give_back": _("Stake given back"),
    "stakes_take": _("Stakes taken"),
    "venue_add": _("Venue added"),
    "venue_change": _("Venue changed"),
    "webhook_add": _("Address named to be told"),
    "webhook_remove": _("Address told no more"),
    "webhook_switch_on": _("Address told again"),
    "webhook_try": _("Address tried"),
    "weigher_name": _("Weigher named"),
    "weigher_take_back": _("Weigher taken off"),
    "weighing_begin": _("Weighing began"),
}


def kind_is(kind: str) -> Q:
    """Rows of a kind; every row for a word that is none."""
    found = Q()
    for start in KINDS[kind][1] if kind in KINDS else ():
        found |= Q(verb__startswith=start)
    return found


def verb_said(verb: str) -> str:
    """What was done; for a verb without a sentence, the verb itself, readable."""
    said = VERBS.get(verb)
    return str(said) if said else verb.replace(".", ": ").replace("_", " ")
