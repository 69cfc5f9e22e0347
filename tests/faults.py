"""What phones, servers and the air between them do to a fact, and what must hold all the same.

A test says which of these it provokes for real: in Python by `@pytest.mark.fault("page closed at
the tap")`, in JavaScript by a line `// fault: page closed at the tap` right above `test(`. What
each must hold everywhere besides: nothing is lost, nothing is doubled, and the person is told the
truth. `tests/test_faults.py` holds that none is left without a test, and that the table in
web/docs/faults.md says where each is.
"""

from __future__ import annotations

#: By fault: what must hold.
FAULTS = {
    "started without signal": "usable in 2 s cold and 1 s warm, and says that there is no signal",
    "started while the server is dead": "the same, and says that the server does not answer",
    "page closed at the tap": "never called kept and gone; closed 200 times within 50 ms",
    "browser killed after kept": "there after the restart",
    "reply lost after commit": "told as a duplicate, one row",
    "request lost before the server": "accepted at the next try, one row",
    "server killed in a transaction": "the fact is wholly there or not at all",
    "server killed between facts": "what was stored before is there, the rest comes again",
    "same batch twenty times at once": "one row each and no answer but 200",
    "same id with other content": "the first is kept, the other gets a new id, both in sight",
    "correction before its original": "it waits, and is in force once the original is here",
    "body cut short": "no row, and the whole one is taken afterwards",
    "reply cut short": "what was not read stays; the cursor does not move",
    "page of a captive network": "is no signal; nothing leaves the phone",
    "redirect of a captive network": "is no signal; nothing leaves the phone",
    "gateway without a server (502, 504)": "nothing leaves the phone, which tries again by itself",
    "batch too large (413)": "goes in halves",
    "asked to wait (429)": "is tried again no sooner than asked",
    "slow line with a long delay": "a hundred facts get through 50 kbit/s with 2 s delay",
    "flapping signal": "a hundred facts get through, once each",
    "clock ten years off": "no standing changes",
    "zone and summer time": "no standing changes",
    "disk quota spent": "what was typed stays, and nothing is called kept",
    "storage wiped": "the weigh board tells the numbers that never came",
    "private window": "works, and says that the phone may empty it",
    "database handle dies": "is opened once more",
    "database never answers": "is given up in time and told",
    "upgrade blocked by an older tab": "is told in time, and goes on when the tab lets go",
    "two tabs": "one of them sends",
    "same draft in two tabs": "two facts with two ids, the second correcting the first",
    "session expired": "the queue stays and goes out after signing in",
    "token rotated": "a new one is fetched and the batch goes out at once",
    "another person signs in": "neither sees nor sends the queue",
    "signed out with unsent facts": "is asked about; the queue is there at the next signing in",
    "member removed meanwhile": "stored and put before the secretary",
    "match closed meanwhile": "stored and put before the secretary",
    "peg renumbered meanwhile": "stored and put before the secretary",
    "update with a half-filled form": "the form stays, and the update waits",
    "bad worker shipped then mended": "the app comes back with the mended one",
    "bodies of an earlier build": "accepted for ever",
    "phone database of an earlier build": "is brought up to date with all that is unsent",
    "server's database locked": "503 with Retry-After, nothing stored",
    "server's database down": "503 with Retry-After, nothing stored",
    "server's database in a deadlock": "503 with Retry-After, nothing stored",
    "server's disk full": "503 with Retry-After, nothing stored; goes on when there is room",
    "broker down at commit": "the request succeeds and the work is done later",
    "worker killed mid-order": "the order is worked out once",
    "reading while others commit": "no fact is passed over",
    "restored from a copy": "phones fill in what the copy lacks",
    "poison fact": "is refused; the others are stored",
    "gzip bomb": "is refused in bounded memory",
    "backlog of ten thousand": "goes out in bounded batches",
    "thousand phones at once": "each fact is in once; no answer but 200 and 503",
    "many faults in any order": "phones and server agree in the end, whatever came between",
    "day without signal and a swap of phones": "the result on the board is right",
}
