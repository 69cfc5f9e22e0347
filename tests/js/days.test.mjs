// How near a day is, on published pages and on the phone: in the zone of the match, by the clock.
import assert from "node:assert/strict";
import { test } from "node:test";

import { dayText } from "../../web/bank/shell/times.js";
import { nearText } from "../../web/static/js/days.js";

const NIGHT = Date.parse("2026-06-19T23:30:00Z"); // the 20th already in London, not in New York

test("a page kept over midnight says what is near when it is looked at, in the zone of the match", () => {
  const said = (day, zone = "Europe/London") => nearText(day, zone, NIGHT, "en");
  assert.equal(said("2026-06-20"), "today");
  assert.equal(said("2026-06-20", "America/New_York"), "tomorrow");
  assert.equal(said("2026-06-19"), "yesterday");
  assert.equal(said("2026-06-23"), "in 3 days");
  assert.equal(said("2026-07-04"), "in 14 days");
  assert.equal(said("2026-07-05"), "");
  assert.equal(said("2026-06-18"), "");
  assert.equal(nearText("2026-06-21", "Europe/London", NIGHT, "fr"), "demain");
});

test("the phone says it before the date, never instead of it", (t) => {
  t.mock.timers.enable({ apis: ["Date"], now: NIGHT });
  assert.match(dayText("2026-06-20", "Europe/London"), /^today, .*20/);
  assert.match(dayText("2026-06-20", "America/New_York"), /^tomorrow, .*20/);
  assert.doesNotMatch(dayText("2026-08-20", "Europe/London"), /,.*,|in /);
});
