"""Pools paid out to the penny: the frame over all, and the best of each section."""

from .answer import Payment, PayoutsAnswer, payouts_work_out
from .example import PAYOUTS_EXAMPLE, PAYOUTS_EXAMPLE_ANSWER
from .request import (
    FramePrize,
    PayoutsRequest,
    PoolEntry,
    SectionPrizes,
    payouts_parse,
)

__all__ = [
    "PAYOUTS_EXAMPLE",
    "PAYOUTS_EXAMPLE_ANSWER",
    "FramePrize",
    "Payment",
    "PayoutsAnswer",
    "PayoutsRequest",
    "PoolEntry",
    "SectionPrizes",
    "payouts_parse",
    "payouts_work_out",
]
