"""Faults that engines meet each in its own way: a dead handle, a silent disk, what lies between."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.browser.bank_phone import weights_on_server
from tests.engines.others import of_the_others
from tests.engines.phone import Phone
from tests.engines.processes import wait_for
from tests.engines.test_bank_in_engines import OUTCOMES
from tests.engines.wire import Wire

PhoneOf = Callable[..., Phone]
# The app's handle on its database, to be closed under it, and how often it opens another.
HANDLE = """const { objectStore } = IDBTransaction.prototype, { open } = IDBFactory.prototype;
IDBTransaction.prototype.objectStore = function (...what) {
  window.handle = this.db;
  return objectStore.apply(this, what);
};
window.opened = 0;
IDBFactory.prototype.open = function (...what) {
  window.opened += 1;
  return open.apply(this, what);
};"""
# Whoever opens it hears nothing more.
OPENING_HANGS = """const { open } = IDBFactory.prototype;
window.mend = () => { IDBFactory.prototype.open = open; };
IDBFactory.prototype.open = () => ({});"""
# Another tab brings a newer form of the database: what came of it.
UPGRADE = """const [done] = arguments;
const opening = indexedDB.open("drawbag-bank", 999);
opening.onblocked = () => done("blocked");
opening.onsuccess = () => { opening.result.close(); done("done"); };"""


@of_the_others
@pytest.mark.fault("database handle dies")
@pytest.mark.fault("database never answers")
@pytest.mark.fault("upgrade blocked by an older tab")
def test_a_dead_handle_is_opened_once_more_in_time_and_holds_up_no_upgrade(phone: PhoneOf) -> None:
    it = phone("tamsin")
    it.open_match()
    it.press("Weigh in")
    it.run(HANDLE)
    it.weigh("1", "4250")
    it.count("sent", 1)
    it.run("handle.close()")
    it.weigh("2", "980")
    it.count("sent", 2)
    assert it.run("return window.opened") == 1

    it.tap("a[href$='/weigh/4']")
    for digit in "700":
        it.press(digit)
    it.run("handle.close()")
    it.run(OPENING_HANGS)
    it.tap("button.keep")
    it.reads("Not kept.", ".failed")
    it.reads("0.700 kg", ".figure")
    it.run("mend()")
    it.tap("button.keep")
    it.count("sent", 3)
    assert weights_on_server() == {"1": [4250], "2": [980], "4": [700]}
    assert it.faults() == []

    _here, other = it.tabs()
    it.tab(other)
    it.open("/healthz")
    assert it.line.ask("ExecuteAsyncScript", {"script": UPGRADE, "args": []}) == "done"


@of_the_others
@pytest.mark.fault("page of a captive network")
@pytest.mark.fault("reply lost after commit")
def test_a_cafes_page_takes_nothing_and_a_reply_lost_on_the_wire_doubles_nothing(
    phone: PhoneOf, wire: Wire
) -> None:
    it = phone("tamsin")
    it.open_match()
    it.press("Weigh in")
    wire.cut()
    wire.mend(cafe=True)
    it.weigh("1", "4250")
    it.signal("no_signal")
    it.count("kept", 1)
    assert weights_on_server() == {}
    wire.cut()
    wire.losing = b"POST /api/v1/sync/facts"
    wire.mend()
    it.run("dispatchEvent(new Event('online'))")
    wait_for(lambda: weights_on_server() == {"1": [4250]}, "the weight on the server")
    it.count("kept", 1)
    wire.losing = b""
    it.count("sent", 1)
    assert it.line.ask("ExecuteAsyncScript", {"script": OUTCOMES, "args": []}) == ["duplicate"]
    assert weights_on_server() == {"1": [4250]}
    assert it.faults() == []
