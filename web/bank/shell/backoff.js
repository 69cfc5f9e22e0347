// @ts-check
/**
 * How long to wait before the next try, in milliseconds.
 *
 * Full jitter: anywhere between nothing and a bound that doubles, so that a bank full of phones
 * does not call at once. No signal costs the server nothing, and the queue should empty within
 * ten seconds of its return, so there the bound stays low; a busy server gets up to five minutes.
 * One that names a longer time has given each phone its turn: little chance is added to that.
 * @param {{failures: number, busy: boolean, unsent: boolean, asked?: number}} now
 *   `asked` is what the server asked for, in seconds
 * @param {() => number} [random]
 */
export function waitNext({ failures, busy, unsent, asked = 0 }, random = Math.random) {
  const most = asked > 2 || (!busy && unsent) ? 8_000 : 300_000;
  const bound = Math.min(most, 1_000 * 2 ** Math.min(failures, 9));
  const idle = failures === 0 ? 60_000 : 0;
  return Math.max(1_000, asked * 1_000, idle) + Math.round(random() * bound);
}
