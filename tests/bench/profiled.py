"""What a look at where the time goes showed, for aims that are missed here or elsewhere: by aim."""

from __future__ import annotations

from typing import Final

PROFILED: Final[dict[str, str]] = {
    "order-structure": (
        "On usual and ordinary lists it is met. On hard ones (a delivery fee at every shop, prices "
        "within fifteen in a hundred of each other, many breaks) 95 of 100 parts are the search "
        "for the least total (`bait/reckon/order/totals.py`): half of it shuts out choices of "
        "shops (`bait/reckon/order/screen.py`), a third finds the cheapest way through what is "
        "left (`bait/reckon/order/way.py`). Through the fees every bait hangs on every shop, so "
        "little comes apart, and few packs are never worth buying."
    ),
    "order-p95": (
        "Only hard lists miss it. The proof of the least total is the work, and HiGHS, which does "
        "no more than that, takes as long or longer on the same lists. To stop sooner would be to "
        "call an order the cheapest that may not be; so an order has its time, works in a task of "
        "its own, and says where its total is the best found and not proved."
    ),
    "placement-time": (
        "Of a reckoning of 100,000 particles half is drawing chance until nothing sinks upwards "
        "(`bait/reckon/placement/scatter.py`), a quarter the sums of where each lands, an eighth "
        "its drift; the rest sorts them. numpy does all of it; a machine with other work misses "
        "the time and not the ratio."
    ),
    "sync-sqlite": (
        "Of the endpoint's processor time a half is the insert, which bulk_create does too, three "
        "parts in ten the check of each fact, a tenth the making of rows and outcomes; by the "
        "processor's time alone it takes 1.7 times bulk_create's. What is above that is waiting: "
        "for the disk, or for other work on the machine."
    ),
    "sync-postgres": "As on SQLite, and more of it is waiting: the server is a process of its own.",
    "api-read": (
        "The page of facts takes eight queries, and nearly half of its time is Django putting "
        "them together, since what a person sees of a match depends on role, team and phone; "
        "the rest is the framework's own way to a view."
    ),
    "bank-tap": (
        "Where it was missed, the bare strict put of the same bytes beside it took 63 of the 73 "
        "ms: that is the disk, which other work used. What the app adds is ten."
    ),
    "review-page": (
        "Of the review of 2,000 notes four parts in ten are the reading of the notes out of the "
        "database, one is the reckoning, one and a half the page. So the answer is not kept under "
        "a digest of its notes: the notes would be read for the digest all the same. A keen day "
        "has two hundred notes."
    ),
}
