"""What the database keeps of clubs, people, waters, matches, facts and work."""

from .facts import Disagreement, DisagreementKind, Fact, FactKind, WeighIn
from .matches import (
    Bulletin,
    Draw,
    DrawnPeg,
    Entry,
    EntryStatus,
    Match,
    MatchState,
    Section,
    SectionPeg,
    WeightUnit,
)
from .people import Angler, AuditEntry, Club, Device, Membership, Person, Role, Team
from .venues import Peg, Venue
from .work import WorkRequest, WorkState

__all__ = [
    "Angler",
    "AuditEntry",
    "Bulletin",
    "Club",
    "Device",
    "Disagreement",
    "DisagreementKind",
    "Draw",
    "DrawnPeg",
    "Entry",
    "EntryStatus",
    "Fact",
    "FactKind",
    "Match",
    "MatchState",
    "Membership",
    "Peg",
    "Person",
    "Role",
    "Section",
    "SectionPeg",
    "Team",
    "Venue",
    "WeighIn",
    "WeightUnit",
    "WorkRequest",
    "WorkState",
]
