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
        "The page of facts takes six queries, and by the processor's own time 7 ms where a bare "
        "view takes 0.6: two thirds are Django putting queries together, since what a person sees "
        "of a match depends on role, team and phone. Where it was missed through the server, the "
        "bare view took five times as long as on a quiet machine too."
    ),
    "bank-tap": (
        "Where it was missed, the bare strict put of the same bytes beside it took 63 of the 73 "
        "ms: that is the disk, which other work used. What the app adds is ten."
    ),
    "review-page": (
        "Of 80 ms of the processor's time for 2,000 notes a third is the reading of the notes out "
        "of the database, a fifth finds the changes, a fifth is the page; 25 ms it takes with 20 "
        "notes. Where it was missed, the page with 20 took 215 ms: that was other work. So the "
        "answer is not kept under a digest of its notes: they would be read for it all the same."
    ),
}
