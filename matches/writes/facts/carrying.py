"""Facts that a mate's phone carries: whose they are, by the signature of the phone they are from.

A session may hand in another's facts when they are signed with a key of that person's phone; they
are stored as that person's, with that person's rights. What a session hands in unsigned is its
own, unless it is from a phone that signs: that phone's facts are nobody else's.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from uuid import UUID

from django.db.models import Q
from django.utils.translation import gettext as _

from matches.models import DeviceKey, FactKind, Person
from matches.problems import Code, Problem
from matches.reckon.carried import carried_message
from matches.reckon.errors import Fault

from .shape import FactIn
from .signatures import signature_fits

# What takes effect at once, so that nothing could hold it back until somebody has looked.
AT_ONCE = (FactKind.SIGNAL, FactKind.RULING)


@dataclass(frozen=True, slots=True)
class Authorship:
    """Whose a fact is. `held`: its key was revoked, so it has no effect until a ruling."""

    author: Person
    carried: bool = False
    held: bool = False


class Keys:
    """The keys that a batch of facts names, and those of the phones they are from. One query."""

    def __init__(self, session: Person, *, facts: Iterable[FactIn]) -> None:
        facts = list(facts)
        self.session = session
        named = {fact.carried.key for fact in facts if fact.carried}
        unsigned = {fact.device for fact in facts if not fact.carried}
        rows = DeviceKey.objects.filter(
            Q(public_key__in=named) | Q(device__in=unsigned)
        ).select_related("person")
        self.by_text: dict[str, DeviceKey] = {}
        self.owners: dict[UUID, set[int]] = defaultdict(set)
        for row in rows:
            self.by_text[row.public_key] = row
            self.owners[row.device_id].add(row.person_id)

    @property
    def people(self) -> list[Person]:
        """Everybody whose key is named."""
        return [key.person for key in self.by_text.values()]

    def authorship(self, fact: FactIn, *, digest: str) -> Authorship:
        """Whose this fact is. Raises Problem NOT_SIGNED, KEY_UNKNOWN, KEY_REVOKED or
        BAD_SIGNATURE."""
        if fact.carried is None:
            self._unsigned_check(fact)
            return Authorship(self.session)
        key = self.by_text.get(fact.carried.key)
        if key is None:
            words = _("This server does not know the phone that signed this.")
            raise Problem(Code.KEY_UNKNOWN, words, Fault("/carried/key", words))
        message = carried_message(
            fact=fact.id, device=fact.device, person=key.person_id, digest=digest
        )
        signature = fact.carried.signature
        if key.device_id != fact.device or not signature_fits(
            key.public_key, signature=signature, message=message
        ):
            words = _("This is not what its phone signed. The phone it is from still has it.")
            raise Problem(Code.BAD_SIGNATURE, words, Fault("/carried/signature", words))
        if key.person_id == self.session.pk:
            return Authorship(self.session)
        if key.revoked_at is not None and fact.kind in AT_ONCE:
            words = _("This phone was taken off the list: its person has to send this.")
            raise Problem(Code.KEY_REVOKED, words, Fault("/carried/key", words))
        return Authorship(key.person, carried=True, held=key.revoked_at is not None)

    def _unsigned_check(self, fact: FactIn) -> None:
        owners = self.owners.get(fact.device)
        if owners and self.session.pk not in owners:
            words = _("This is from another’s phone: it can be sent by them, or signed by it.")
            raise Problem(Code.NOT_SIGNED, words, Fault("/carried", words))
