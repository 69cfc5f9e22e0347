"""The squeeze test's form: what was tried, what it says of the mix."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from math import ceil
from typing import Any

from django.utils.translation import gettext as _

from bait.reads.mixing import MixingShown
from bait.reckon.mix import mix_parse, mix_work_out
from bait.reckon.plans import PlannedMix
from bait.writes.mix_content import MIX_RANGES
from matches.comma_words import comma_words
from matches.reckon.decimals import decimal_read, decimal_text, point_typed
from matches.reckon.errors import BadInput, Fault

from .form_numbers import whole_typed

FIELDS = ("ball_mm", "load_ml", "size_mm", "loose_ml")
#: Which field of the form a fault of the calculator belongs to.
_PLACES = {
    "/ball_diameter_m": "ball_mm",
    "/squeeze_test/load_l_per_ball": "load_ml",
    "/squeeze_test/size_m": "size_mm",
    "/squeeze_test/loose_l_per_ball": "loose_ml",
}


@dataclass
class SqueezeForm:
    """What was tried with one mix, as text; `found` are its figures as the plan keeps them."""

    at: int
    mix: PlannedMix
    version: int
    ball_mm: str
    load_ml: str = ""
    size_mm: str = "3.5"
    loose_ml: str = ""
    sent: bool = False
    found: dict[str, str] = field(default_factory=dict)
    faults: dict[str, str] = field(default_factory=dict)

    def measure(self) -> None:
        """Work out what was tried; `faults` say what stands in the way, by field."""
        raw = self._as_raw()
        if self.faults:
            return
        try:
            answer = mix_work_out(mix_parse(raw)).test
        except BadInput as bad:
            for fault in bad.faults:
                self.faults.setdefault(_PLACES.get(fault.pointer, "squeeze_test"), _said(fault))
            return
        if answer is None:
            return
        if answer.film_m is not None:
            self._film_take(answer.film_m)
        if answer.squeeze is not None:
            self._squeeze_take(answer.squeeze)

    def _film_take(self, film_m: float) -> None:
        # Rounded up: a ball is never promised more than one was seen to hold.
        film = Fraction(ceil(Fraction(film_m) * 100_000), 100)
        if film > MIX_RANGES["film_mm"].most:
            words = _("Hardly anything stayed in that ball: try another with a wetter mix.")
            self.faults["load_ml"] = words
        else:
            self.found["film_mm"] = decimal_text(film)

    def _squeeze_take(self, squeeze: float) -> None:
        value = Fraction(round(squeeze * 100), 100)
        if value < MIX_RANGES["squeeze"].least:
            words = _("That is much loose mix for one ball: measure it and the ball again.")
            self.faults["loose_ml"] = words
        else:
            self.found["squeeze"] = decimal_text(value)

    def _as_raw(self) -> dict[str, Any]:
        test: dict[str, float] = {}
        if self.load_ml.strip():
            test = {
                "load_l_per_ball": self._number("load_ml") / 1000,
                "size_m": self._number("size_mm") / 1000,
            }
        if self.loose_ml.strip():
            test["loose_l_per_ball"] = self._number("loose_ml") / 1000
        if not test:
            self.faults["squeeze_test"] = _(
                "Write down what you tried: the load, or the loose mix."
            )
        return {
            "squeeze_test": test,
            "ball_diameter_m": self._number("ball_mm") / 1000,
            "packing": float(self.mix.packing),
        }

    def _number(self, name: str) -> float:
        value = decimal_read(point_typed(str(getattr(self, name))))
        if value is None or not value:
            self.faults[name] = comma_words(
                str(getattr(self, name)),
                otherwise=_("Write a number above zero, such as 120 or 3.5."),
            )
            return 1.0
        return float(value)


def squeeze_forms(shown: MixingShown, *, sent: Mapping[str, str]) -> list[SqueezeForm]:
    """A form for each mix of the plan; the one that was sent holds what was typed."""
    version = shown.plan.version if shown.plan else 0
    forms = []
    for at, sheet in enumerate(shown.sheets):
        form = SqueezeForm(at, sheet.mix, version, ball_mm=str(sheet.ball_mms[0]))
        if sent.get("mix") == sheet.mix.name:
            form.sent = True
            form.version = whole_typed(sent.get("version", "")) or 0
            for name in FIELDS:
                setattr(form, name, sent.get(name, "")[:20])
        forms.append(form)
    return forms


def _said(fault: Fault) -> str:
    """The calculator speaks of metres; a form in millimetres says it otherwise."""
    if fault.message.startswith("This must be from"):
        return _("No hand makes that: measure it again.")
    return fault.message
