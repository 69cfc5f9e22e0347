"""What a look at where the time goes showed, for aims that are missed here or elsewhere: by aim."""

from __future__ import annotations

from typing import Final

PROFILED: Final[dict[str, str]] = {
    "order-structure": (
        "Met on ordinary and on hard lists, by more the harder they are; missed on usual ones, "
        "which take a twentieth of a second. There a quarter lists the covers of each bait "
        "(`bait/reckon/order/listed.py`), a fifth makes the table of what each amount costs at "
        "least (`baits.py`), a fifth shares the cost, which the plain model does not, and an "
        "eighth breaks the ties."
    ),
    "order-p95": (
        "Only the longest of the hard lists come near it. A machine with other work takes several "
        "times as long by the clock. To stop sooner would be to call an order the cheapest that "
        "may not be; so an order has its time, works in a task of its own, and says where its "
        "total is the best found and not proved."
    ),
    "placement-ivp": (
        "It lies at the aim: two whole runs within the hour, on the same code of it, took one part "
        "in 12,162 and one in 9,766. Half of ours is drawing chance, see `scatter.py`."
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
        "The page of facts takes six queries, and by the processor's own time about 9 ms where a "
        "bare view takes 0.6: two thirds are Django putting queries together, since what a person "
        "sees of a match depends on role, team and phone."
    ),
    "bank-tap": (
        "Where it was missed, the bare strict put of the same bytes beside it took 63 of the 73 "
        "ms: that is the disk, which other work used. What the app adds is ten. With the disk free "
        "it was 16 ms, the bare put 6."
    ),
    "bank-screens": (
        "The screen of feeding puts one's own notes in order and on the clock of the match, and "
        "draws the log: with 10,000 facts here 300 of them are one's own feeds of one match, some "
        "three times what a keen angler logs."
    ),
    "swim-redraw": (
        "At full speed a redraw takes 2.9 ms, so 12 at a quarter: 1.5 of script (a third sums "
        "where feed lies, a third draws, the rest lets balls sink) and 1.4 of layout, a quarter of "
        "each of the picture, the one from above and the list of feeds. The browser slows itself "
        "down by halting for milliseconds, so a machine with other work shows halts and not the "
        "redraw."
    ),
    "review-page": (
        "For 2,000 notes a third of the time is the reading of the notes out of the database, a "
        "fifth finds the changes, a fifth is the page. So the answer is not kept under a digest of "
        "its notes: they would be read for it all the same."
    ),
}
