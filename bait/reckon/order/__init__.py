"""A team's bait order at the least total, proved, and shared to the penny."""

from .answer import BaitAmount, OrderAnswer, OrderLine
from .example import ORDER_EXAMPLE, ORDER_EXAMPLE_ANSWER
from .parse import order_parse
from .request import Demand, OrderRequest, Pack, PriceBreak, Stock, Supplier
from .shares import Share
from .work import order_work_out

__all__ = [
    "ORDER_EXAMPLE",
    "ORDER_EXAMPLE_ANSWER",
    "BaitAmount",
    "Demand",
    "OrderAnswer",
    "OrderLine",
    "OrderRequest",
    "Pack",
    "PriceBreak",
    "Share",
    "Stock",
    "Supplier",
    "order_parse",
    "order_work_out",
]
