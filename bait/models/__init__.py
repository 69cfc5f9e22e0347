"""What the database keeps of baits, shops, plans, the larder and orders."""

from .orders import (
    LarderLot,
    LotState,
    Order,
    OrderLine,
    OrderVersion,
    Share,
)
from .plans import Plan, Stage, StageFeed, StageKind
from .shops import Bait, BaitKind, Pack, PackBreak, Shop, Unit

__all__ = [
    "Bait",
    "BaitKind",
    "LarderLot",
    "LotState",
    "Order",
    "OrderLine",
    "OrderVersion",
    "Pack",
    "PackBreak",
    "Plan",
    "Share",
    "Shop",
    "Stage",
    "StageFeed",
    "StageKind",
    "Unit",
]
