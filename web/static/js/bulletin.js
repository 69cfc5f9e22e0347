// @ts-check
// A bulletin's digest taken again in the browser, its picture as a PNG, and its words to the phone's
// share sheet or the clipboard. Each button shows only where the browser can do what it says.

/** @param {ArrayBuffer} bytes */
export const hexOf = (bytes) =>
  [...new Uint8Array(bytes)].map((byte) => byte.toString(16).padStart(2, "0")).join("");

/** SHA-256 of bytes in hex; only where the page came over a secure connection.
 * @param {ArrayBuffer} bytes */
export const digestOf = async (bytes) => hexOf(await crypto.subtle.digest("SHA-256", bytes));

/** @param {HTMLElement} part */
const checkReady = (part) => {
  const button = part.querySelector("button");
  const says = part.querySelector("output");
  if (!button || !says || !globalThis.crypto?.subtle) return;
  button.hidden = false;
  button.addEventListener("click", async () => {
    try {
      const answer = await fetch(part.dataset.json ?? "", { cache: "reload" });
      if (!answer.ok) throw new Error(String(answer.status));
      const same = (await digestOf(await answer.arrayBuffer())) === part.dataset.digest;
      says.value = (same ? part.dataset.same : part.dataset.differs) ?? "";
    } catch {
      says.value = part.dataset.failed ?? "";
    }
  });
};

/** The picture as a PNG, drawn at its own size.
 * @param {HTMLImageElement} shown
 * @returns {Promise<Blob>} */
const pngOf = async (shown) => {
  const image = new Image();
  image.src = shown.src;
  await image.decode();
  const canvas = document.createElement("canvas");
  canvas.width = Number(shown.getAttribute("width"));
  canvas.height = Number(shown.getAttribute("height"));
  canvas.getContext("2d")?.drawImage(image, 0, 0, canvas.width, canvas.height);
  return new Promise((done, fail) => {
    canvas.toBlob((blob) => (blob ? done(blob) : fail(new Error("no picture"))), "image/png");
  });
};

/** @param {HTMLElement} part */
const cardReady = (part) => {
  const shown = part.querySelector("img");
  const name = part.dataset.card ?? "result.png";
  if (!shown) return;
  const keep = ready(part, "keep", async () => {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(await pngOf(shown));
    link.download = name;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
  });
  if (keep) keep.hidden = false;
  const probe = new File([""], name, { type: "image/png" });
  if (!navigator.canShare?.({ files: [probe] })) return;
  const share = ready(part, "share", async () => {
    const file = new File([await pngOf(shown)], name, { type: "image/png" });
    await navigator.share({ files: [file] });
  });
  if (share) share.hidden = false;
};

/** @param {HTMLElement} part */
const messageReady = (part) => {
  const text = part.querySelector("textarea");
  const says = part.querySelector("output");
  if (!text || !says) return;
  const copy = ready(part, "copy", async () => {
    text.select();
    await navigator.clipboard.writeText(text.value);
    says.value = part.dataset.copied ?? "";
  });
  if (copy && navigator.clipboard) copy.hidden = false;
  const share = ready(part, "share", () => navigator.share({ text: text.value }));
  if (share && "share" in navigator) share.hidden = false;
};

/** A button that does its work; whoever closes the share sheet has not failed.
 * @param {HTMLElement} part
 * @param {string} what
 * @param {() => Promise<void>} work */
const ready = (part, what, work) => {
  const button = /** @type {HTMLButtonElement | null} */ (part.querySelector(`[data-do="${what}"]`));
  button?.addEventListener("click", () => {
    work().catch((/** @type {unknown} */ error) => {
      if (!(error instanceof DOMException && error.name === "AbortError")) throw error;
    });
  });
  return button;
};

const parts = (/** @type {string} */ of) =>
  /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll(of));

if (globalThis.document) {
  parts(".digest-check").forEach(checkReady);
  parts("[data-card]").forEach(cardReady);
  parts("[data-message]").forEach(messageReady);
}
