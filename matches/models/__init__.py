"""What the database keeps of clubs, people, waters, matches, facts and work."""

from .facts import Disagreement, DisagreementKind, Fact, FactKind, RefusedFact, WeighIn
from .invitations import Invitation
from .leagues import League, LeagueOf, LeagueRound, LeagueTable
from .matches import (
    FISHING,
    Bulletin,
    Draw,
    DrawnPeg,
    Entry,
    EntryStatus,
    Match,
    MatchState,
    NetCapRule,
    PegLeftOut,
    ScoredBy,
    Section,
    SectionPeg,
    WeightUnit,
)
from .objections import Objection
from .people import (
    Angler,
    AuditEntry,
    Club,
    Device,
    DeviceKey,
    Membership,
    Person,
    Role,
    Team,
)
from .pools import FeePayment, Pool, PoolEntry, PrizePaid, WonBy
from .venues import Bank, Peg, Venue
from .work import WorkRequest, WorkState

__all__ = [
    "FISHING",
    "Angler",
    "AuditEntry",
    "Bank",
    "Bulletin",
    "Club",
    "Device",
    "DeviceKey",
    "Disagreement",
    "DisagreementKind",
    "Draw",
    "DrawnPeg",
    "Entry",
    "EntryStatus",
    "Fact",
    "FactKind",
    "FeePayment",
    "Invitation",
    "League",
    "LeagueOf",
    "LeagueRound",
    "LeagueTable",
    "Match",
    "MatchState",
    "Membership",
    "NetCapRule",
    "Objection",
    "Peg",
    "PegLeftOut",
    "Person",
    "Pool",
    "PoolEntry",
    "PrizePaid",
    "RefusedFact",
    "Role",
    "ScoredBy",
    "Section",
    "SectionPeg",
    "Team",
    "Venue",
    "WeighIn",
    "WeightUnit",
    "WonBy",
    "WorkRequest",
    "WorkState",
]
