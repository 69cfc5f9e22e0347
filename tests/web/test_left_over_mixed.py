"""What was wetted in a mix does not go back into the larder as if it were dry."""

from __future__ import annotations

from typing import Any

from bait.models import Bait, BaitKind
from bait.writes.plan_content import plan_content_parse
from bait.writes.plans import plan_save
from tests.clients import read_any, signed_in
from tests.web.test_larder_pages import form, logged


def test_what_the_plan_wets_is_not_left_over_and_its_spare_and_loads_are(world: Any) -> None:
    """Four litres of soil with a tenth of spare are 4.4: 0.4 stays dry. Of a pint of casters
    loaded into balls, a quarter was noted: with the spare 0.85 is left."""
    Bait.objects.create(club=world.club, key="soil", name="Soil", kind=BaitKind.SOIL, unit="L")
    part = {"bait": "soil", "amount": "4", "unit": "L", "after_rest": True}
    stage = {
        "kind": "opening",
        "end_minute": 0,
        "start_minute": -10,
        "line": "long",
        "balls": {"count": 4, "mm": 80, "mix": "base"},
        "feeds": [{"bait": "caster", "amount": "1", "unit": "pint"}],
    }
    raw = {"version": 0, "spare_percent": 10, "mixes": [{"name": "base", "parts": [part]}]}
    content = plan_content_parse({**raw, "stages": [stage]})
    plan_save(world.secretary, entry=world.entries["Wilmot"], content=content)
    note = {"bait": "caster", "amount": "0.25", "unit": "pint", "line": "long", "stage": 0}
    logged(world, world.member, 1, note)
    address = f"/desk/teams/{world.alders.pk}/matches/{world.match.pk}/left-over/"
    text = read_any(signed_in(world.member), address)[1]
    wilmot = world.entries["Wilmot"].angler_id
    sent = form(text, "save")
    assert (sent[f"left-{wilmot}-soil"], sent[f"left-{wilmot}-caster"]) == ("0.4", "0.85")
    assert "bag 4.4, in the mix 4, fed 0 L" in text
