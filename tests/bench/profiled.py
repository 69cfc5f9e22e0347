"""What a look at where the time goes showed, for aims that are missed here or elsewhere: by aim."""

from __future__ import annotations

from typing import Final

PROFILED: Final[dict[str, str]] = {
    "order-structure": (
        "By the processor's own time it is met on all lists in the middle; where it was missed, "
        "two hard lists were measured, one of them the longest of ten. On such a list (a delivery "
        "fee at every shop, prices within fifteen in a hundred of each other, many breaks) through "
        "the fees every bait hangs on every shop, so little comes apart: four parts in ten of its "
        "time go through sums that may still win (`bait/reckon/order/way.py`), the rest lists "
        "covers and screens choices of shops (`listed.py`, `screen.py`)."
    ),
    "order-p95": (
        "Only the longest of the hard lists come near it: 1.7 s of the processor's time where the "
        "rest take 0.2 to 0.4, and HiGHS 2.4 s for the first stage alone. A machine with other "
        "work takes several times as long by the clock. To stop sooner would be to call an order "
        "the cheapest that may not be; so an order has its time, works in a task of its own, and "
        "says where its total is the best found and not proved."
    ),
    "placement-time": (
        "Of a reckoning of 100,000 particles half is drawing chance until nothing sinks upwards "
        "(`bait/reckon/placement/scatter.py`), a quarter the sums of where each lands, an eighth "
        "its drift; the rest sorts them. numpy does all of it; a machine with other work misses "
        "the time and not the ratio."
    ),
    "sync-sqlite": (
        "By the processor's own time it takes 1.9 times bulk_create's for feed notes, 1.8 for "
        "weigh-ins. Two thirds are the insert, which is bulk_create as well; a sixth is the check "
        "of each fact, the rest making rows and outcomes. What is above that is waiting: for the "
        "disk, or for other work on the machine."
    ),
    "sync-postgres": (
        "As on SQLite, and more of it is waiting: the server is a process of its own."
    ),
    "api-read": (
        "The page of facts takes six queries, and by the processor's own time 7 ms where a bare "
        "view takes 0.6: two thirds are Django putting queries together, since what a person sees "
        "of a match depends on role, team and phone. Where it was missed through the server, the "
        "bare view took five times as long as on a quiet machine too."
    ),
    "bank-tap": (
        "Where it was missed, the bare strict put of the same bytes beside it took 63 of the 73 "
        "ms: that is the disk, which other work used. What the app adds is ten. With the disk free "
        "it was 16 ms, the bare put 6."
    ),
    "swim-redraw": (
        "At full speed a redraw takes 2.9 ms, so 12 at a quarter: 1.5 of script (a third sums "
        "where feed lies, a third draws, the rest lets balls sink) and 1.4 of layout, a quarter of "
        "each of the picture, the one from above and the list of feeds. The browser slows itself "
        "down by halting for milliseconds, so a machine with other work shows halts and not the "
        "redraw."
    ),
    "review-page": (
        "Of 80 ms of the processor's time for 2,000 notes a third is the reading of the notes out "
        "of the database, a fifth finds the changes, a fifth is the page; 25 ms it takes with 20 "
        "notes. Where it was missed, the page with 20 took 215 ms: that was other work. So the "
        "answer is not kept under a digest of its notes: they would be read for it all the same."
    ),
}
