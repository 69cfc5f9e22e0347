// @ts-check
import { BankElement, html } from "../element.js";
import { bag } from "../bag.js";
import { CARRIED, carriedShown, factsKnown } from "../facts.js";
import { wasKey } from "../sync.js";
import { words } from "../words.js";

/** @type {{lists: any[], known: import("../facts.js").Known[]}} */
let last = { lists: [], known: [] };

/** The same lists again say the same: the next screen works nothing out anew. @param {any[][]} lists */
function knownOf(lists) {
  if (!lists.every((list, n) => list === last.lists[n])) {
    const [own, carried, pulled] = lists;
    last = { lists, known: factsKnown(own, [...carriedShown(carried), ...pulled]) };
  }
  return last.known;
}

/** What every screen of one match reads: its package, and the facts known here. */
export class OfMatch extends BankElement {
  static properties = { match: { attribute: false } };

  constructor() {
    super();
    /** @type {string} */ this.match = "";
    /** @type {any} */ this.pack = null;
    /** @type {import("../facts.js").Known[]} */ this.known = [];
    this.read = false;
    /** @type {number} */ this.at = 0;
    /** @type {import("../clock.js").Was} */ this.was = {};
  }

  /** @param {Map<string, any>} changed */
  willUpdate(changed) {
    if (changed.has("match")) bag.dispatchEvent(new Event("change"));
  }

  async load() {
    const person = bag.person;
    if (person && this.match) {
      const [held, own, carried, pulled, was] = await Promise.all([
        bag.store.packageOf(person.id, this.match),
        bag.store.factsOf(person.id, this.match),
        bag.store.factsOf(CARRIED, this.match),
        bag.store.pulledOf(person.id, this.match),
        bag.store.metaGet(wasKey(person.id, this.match)),
      ]);
      this.pack = held?.pack ?? null;
      this.at = held?.at ?? 0;
      this.was = was?.times ?? {};
      this.known = knownOf([own, carried, pulled]);
    }
    this.read = true;
    this.requestUpdate();
  }

  render() {
    if (!this.read) return html``;
    if (!this.pack) return html`<h1>${words.app}</h1>${bag.trouble ? "" : html`<p>${words.matchNotHere}</p>`}`;
    return this.draw(this.pack);
  }

  /** @param {any} pack @returns {unknown} */
  draw(pack) {
    return html`${pack.match.name}`;
  }
}
