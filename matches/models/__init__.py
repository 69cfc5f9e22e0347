"""What the database keeps of clubs, people, waters, matches, facts and work."""

from .facts import (
    TEAM_KINDS,
    Disagreement,
    DisagreementKind,
    Fact,
    FactKind,
    RefusedFact,
    WeighIn,
)
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
    RiverLevel,
    ScoredBy,
    Section,
    SectionPeg,
    WeightUnit,
)
from .objections import Objection
from .people import (
    Angler,
    Club,
    Device,
    DeviceKey,
    Membership,
    Person,
    Role,
    Team,
)
from .pools import FeePayment, Pool, PoolEntry, PrizePaid, WonBy
from .signing_in import Attempts
from .trail import AuditEntry, TrailHead
from .venues import Bank, Peg, Venue
from .work import WorkRequest, WorkState

__all__ = [
    "FISHING",
    "TEAM_KINDS",
    "Angler",
    "Attempts",
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
    "RiverLevel",
    "Role",
    "ScoredBy",
    "Section",
    "SectionPeg",
    "Team",
    "TrailHead",
    "Venue",
    "WeighIn",
    "WeightUnit",
    "WonBy",
    "WorkRequest",
    "WorkState",
]
