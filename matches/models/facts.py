"""Facts: what was logged on a phone, and what stands because of it."""

from __future__ import annotations

import uuid

from django.db import models
from django.db.models import Q
from django.db.models.functions import Coalesce
from django.utils.translation import gettext_lazy as _

from .matches import Match, SectionPeg
from .people import Club, Person


class FactKind(models.TextChoices):
    WEIGH_IN = "weigh_in", _("weigh-in")
    FEED_NOTE = "feed_note", _("feed note")
    FISH_NOTE = "fish_note", _("fish note")
    PEG_NOTE = "peg_note", _("peg note")
    LINE_NOTE = "line_note", _("line switch")
    FEED_TEST = "feed_test", _("jar test")
    FEED_THROW = "feed_throw", _("throw")
    SIGNAL = "signal", _("signal")
    SCRATCH = "scratch", _("scratch")
    RULING = "ruling", _("ruling")


#: What one team found out or does, and another is not told.
TEAM_KINDS = (FactKind.FEED_TEST, FactKind.FEED_THROW, FactKind.LINE_NOTE)


class Fact(models.Model):
    """One thing logged once. It is never edited: a later fact supersedes it.

    `recorded_at` is the phone's clock, for display only; the order of things is `cseq`,
    the club's gapless counter. `supersedes` is no foreign key: the original may come later.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    club = models.ForeignKey(Club, models.PROTECT, related_name="facts")
    match = models.ForeignKey(Match, models.PROTECT, related_name="facts")
    device = models.UUIDField(db_index=True)
    seq = models.PositiveIntegerField()
    kind = models.CharField(max_length=12, choices=FactKind)
    peg = models.CharField(max_length=8, blank=True)
    recorded_at = models.DateTimeField()
    clock_offset_ms = models.BigIntegerField(default=0)
    supersedes = models.UUIDField(null=True, blank=True, db_index=True)
    body = models.JSONField()
    digest = models.CharField(max_length=64)
    author = models.ForeignKey(Person, models.PROTECT, related_name="facts")
    # Who sent it, where that is not its author: a mate whose phone had signal.
    carried_by = models.ForeignKey(
        Person, models.PROTECT, null=True, blank=True, related_name="facts_carried"
    )
    cseq = models.BigIntegerField()
    received_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["club", "cseq"], name="fact_cseq_in_club"),
            models.CheckConstraint(condition=Q(seq__gte=1), name="fact_seq_from_one"),
            models.CheckConstraint(condition=Q(cseq__gte=1), name="fact_cseq_from_one"),
            models.CheckConstraint(condition=Q(kind__in=FactKind.values), name="fact_kind_known"),
        ]
        indexes = [models.Index(fields=["match", "cseq"], name="fact_match_cseq")]
        ordering = ["cseq"]

    def __str__(self) -> str:
        return f"{self.kind} {self.cseq}"


class RefusedFact(models.Model):
    """A fact that was handed in and not stored: which one, whose, and why; never what it said.

    It tells a hole in a phone's numbers that stays from one that fills itself. A row outlives the
    same fact accepted later: whoever reads them leaves out what is stored now.
    """

    person = models.ForeignKey(Person, models.CASCADE, related_name="+")
    device = models.UUIDField()
    seq = models.PositiveIntegerField()
    fact = models.UUIDField(db_index=True)
    # Null where it named no match that the person may log for.
    match = models.ForeignKey(Match, models.CASCADE, null=True, related_name="refused_facts")
    code = models.CharField(max_length=20)
    received_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["device", "seq", "person"], name="refusal_once_per_number"
            ),
        ]
        ordering = ["id"]

    def __str__(self) -> str:
        return f"{self.code} {self.seq}"


class WeighIn(models.Model):
    """The weight in force for one net at one peg, as a leaf fact says it.

    Two phones may disagree: then there are two rows, and the one that `stands` (the first
    to arrive, until the secretary rules) is the one that is placed.
    """

    match = models.ForeignKey(Match, models.CASCADE, related_name="weigh_ins")
    section_peg = models.ForeignKey(SectionPeg, models.PROTECT, related_name="weigh_ins")
    net = models.PositiveSmallIntegerField()
    weight = models.PositiveIntegerField(help_text=_("In the match's unit."))
    # Where the match scores fish: [["Roach", 12], …]; null where only the weight counts.
    fish = models.JSONField(null=True, blank=True)
    stands = models.BooleanField(default=True)
    fact = models.OneToOneField(Fact, models.PROTECT, related_name="weigh_in")

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["section_peg", "net"],
                condition=Q(stands=True),
                name="one_weight_stands_per_net",
            ),
            models.CheckConstraint(condition=Q(net__gte=1) & Q(net__lte=9), name="net_one_to_nine"),
            models.CheckConstraint(condition=Q(weight__lte=2_000_000), name="weight_on_the_scales"),
        ]

    def __str__(self) -> str:
        return f"{self.section_peg} · {self.net} · {self.weight}"


class DisagreementKind(models.TextChoices):
    TWO_WEIGHTS = "two_weights", _("two weights for one net")
    UNDRAWN_PEG = "undrawn_peg", _("a weigh-in for a peg nobody drew")
    LATE = "late", _("a fact after the result was confirmed")
    TWO_CORRECTIONS = "two_corrections", _("two corrections of one fact")


class Disagreement(models.Model):
    """Facts that cannot all stand. Open until a ruling fact settles it; nothing is dropped."""

    match = models.ForeignKey(Match, models.CASCADE, related_name="disagreements")
    kind = models.CharField(max_length=16, choices=DisagreementKind)
    peg = models.CharField(max_length=8, blank=True)
    net = models.PositiveSmallIntegerField(null=True, blank=True)
    facts = models.ManyToManyField(Fact, related_name="disagreements")
    opened_at = models.DateTimeField(auto_now_add=True)
    ruling = models.ForeignKey(Fact, models.PROTECT, null=True, blank=True, related_name="settled")

    class Meta:
        constraints = [
            models.UniqueConstraint(
                "match",
                "kind",
                "peg",
                Coalesce("net", 0),
                condition=Q(ruling__isnull=True),
                name="disagreement_open_once",
            )
        ]
        ordering = ["id"]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} {self.peg}"
