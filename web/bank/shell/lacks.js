// @ts-check
/** What this browser, or this window of it, lacks that a person would miss, in words. */
import { BankElement, html } from "./element.js";
import { bag } from "./bag.js";
import { icon } from "./icons.js";
import { lacksWords as words } from "./words-lacks.js";

/** Storage is missing or forbidden. */
class StorageRefused extends BankElement {
  render() {
    return html`<section class="note bad"><h2>${icon("refused")} ${words.storageTitle}</h2>
      <p>${words.storage}</p><p class="soft">${bag.trouble}</p></section>`;
  }
}

/** Nothing keeps the app's files on the phone. */
class WorkerMissing extends BankElement {
  render() {
    return html`<p class="note warn">${icon("noSignal")} ${words.worker}</p>`;
  }
}

/** The phone's promise to keep the storage, and what does not work here beside it. */
class LacksTold extends BankElement {
  render() {
    const promise = bag.persisted === null ? words.persistUnknown
      : bag.persisted ? words.persistYes : words.persistNo;
    return [promise, ...lacking()].map((text) => html`<p>${text}</p>`);
  }
}

function lacking() {
  const told = { serviceWorker: words.worker, wakeLock: words.awake, vibrate: words.buzz };
  return Object.entries(told).filter(([name]) => !(name in navigator)).map(([, text]) => text);
}

customElements.define("storage-refused", StorageRefused);
customElements.define("worker-missing", WorkerMissing);
customElements.define("lacks-told", LacksTold);
