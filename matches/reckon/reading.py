"""Reading a JSON request: every fault is gathered, with where it stands, before one refusal."""

from __future__ import annotations

import re
from collections.abc import Collection, Hashable, Iterable
from fractions import Fraction

from .decimals import decimal_read
from .errors import BadInput, Fault, pointer
from .money import pence_parse

Where = tuple[str | int, ...]

ID_LONGEST = 200
FAULTS_MOST = 1_000
_CURRENCY = re.compile(r"[A-Z]{3}")
#: Controls (Unicode's Cc) but tab and line ends, what turns the direction of all that follows
#: (UAX #9, 2.1 to 2.5), and halves of characters.
_UNSTORABLE = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\ud800-\udfff]"
)


def is_storable(text: str) -> bool:
    """Whether every database, file and page can carry it as it is read: no control but tab and
    line ends, nothing that turns the text round it, no half a character."""
    return not _UNSTORABLE.search(text)


class Reading:
    """One pass over one request.

    Each `read_…` method gives a value of the right type whatever it was handed, and notes a fault
    where it had to make one up; `finish` raises BadInput with all of them, so nothing made up is
    ever reckoned with. `where` is the path of keys and list positions to the value.
    """

    def __init__(self) -> None:
        self.faults: list[Fault] = []

    def fault(self, where: Where, message: str) -> None:
        """Note one fault at `where`; after the first thousand nobody reads on."""
        if len(self.faults) < FAULTS_MOST:
            self.faults.append(Fault(pointer(*where), message))

    def finish(self) -> None:
        """Raise BadInput if anything was wrong."""
        if self.faults:
            raise BadInput(*self.faults)

    def read_object(
        self, raw: object, where: Where, *, needs: Collection[str], may: Collection[str] = ()
    ) -> dict[str, object]:
        """The object at `where`, with every key of `needs` and none beside these and `may`.

        A needed key that is missing is noted here and left out of the answer.
        """
        if not isinstance(raw, dict):
            self.fault(where, "This must be a JSON object.")
            return {}
        for key in raw:
            if key not in needs and key not in may:
                self.fault((*where, key), "This key is not known here: leave it out.")
        for key in needs:
            if key not in raw:
                self.fault((*where, key), "This key is missing: add it.")
        return raw

    def read_list(self, raw: object, where: Where, *, empty: str | None = None) -> list[object]:
        """The list at `where`; `empty` is what to say if nothing stands in it (None: allowed)."""
        if not isinstance(raw, list):
            self.fault(where, "This must be a JSON list.")
            return []
        if not raw and empty:
            self.fault(where, empty)
        return raw

    def read_id(self, raw: object, where: Where) -> str:
        """A name given by the caller: 1 to 200 characters that UTF-8 can carry."""
        if not isinstance(raw, str) or not 1 <= len(raw) <= ID_LONGEST:
            self.fault(where, f"Write an id as a string of 1 to {ID_LONGEST} characters.")
            return ""
        if any("\ud800" <= c <= "\udfff" for c in raw):
            self.fault(where, "This id holds half a character (a lone surrogate): write it anew.")
            return ""
        return raw

    def read_word(self, raw: object, where: Where, *, words: Collection[str]) -> str:
        """One of the fixed `words`."""
        if isinstance(raw, str) and raw in words:
            return raw
        self.fault(where, f"Use one of: {', '.join(words)}.")
        return next(iter(words))

    def read_flag(self, raw: object, where: Where) -> bool:
        """True or false, nothing that merely looks like it."""
        if not isinstance(raw, bool):
            self.fault(where, "This must be true or false.")
        return raw is True

    def read_whole(self, raw: object, where: Where, *, least: int, most: int) -> int:
        """A whole number from `least` to `most`, written as a JSON integer."""
        if isinstance(raw, bool) or not isinstance(raw, int):
            self.fault(where, "Write a whole number, without quotes and without a point.")
            return least
        if not least <= raw <= most:
            self.fault(where, f"This must be from {least} to {most}.")
            return least
        return raw

    def read_decimal(self, raw: object, where: Where, *, most: int) -> Fraction:
        """A decimal string above 0, up to `most`, with at most four places."""
        value = decimal_read(raw)
        if value is None or not 0 < value <= most:
            self.fault(where, f'Write a decimal string such as "1.5", above 0 and up to {most}.')
            return Fraction(1)
        return value

    def read_number(self, raw: object, where: Where, *, least: str, most: str) -> Fraction:
        """A JSON number from `least` to `most`, as the decimal that its writer meant: 0.45 is
        exactly 9/20.
        """
        if isinstance(raw, bool) or not isinstance(raw, int | float):
            self.fault(where, "Write a number, without quotes.")
            return Fraction(least)
        if not Fraction(least) <= raw <= Fraction(most):
            self.fault(where, f"This must be from {least} to {most}.")
            return Fraction(least)
        return Fraction(repr(raw))

    def read_money(self, raw: object, where: Where) -> int:
        """Pence (minor units) in a decimal string such as "4.20"."""
        try:
            return pence_parse(raw if isinstance(raw, str) else "", pointer=pointer(*where))
        except BadInput as bad:
            self.faults.extend(bad.faults)
            return 0

    def read_currency(self, raw: object, where: Where) -> str:
        """A currency code in the form of ISO 4217 (three capital letters)."""
        if not isinstance(raw, str) or not _CURRENCY.fullmatch(raw):
            self.fault(where, 'Write the currency as three capital letters, such as "GBP".')
            return "GBP"
        return raw

    def read_words(
        self, raw: object, where: Where, *, words: Collection[str], twice: str
    ) -> list[str]:
        """The list of some of `words` at `where`; `twice` is said of a repeated one."""
        items = [(item, (*where, i)) for i, item in enumerate(self.read_list(raw, where))]
        read = [self.read_word(item, at, words=words) for item, at in items]
        known = ((item, at) for item, at in items if isinstance(item, str) and item in words)
        self.note_repeats(known, message=twice)
        return read

    def note_repeats(self, values: Iterable[tuple[Hashable, Where]], *, message: str) -> None:
        """Note a fault at each value that came before ("" is a value already refused)."""
        seen: set[Hashable] = set()
        for value, where in values:
            if value in seen and value != "":
                self.fault(where, message)
            seen.add(value)
