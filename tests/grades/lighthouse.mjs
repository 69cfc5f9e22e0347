// Grades the pages named on stdin: a line of JSON a page on stdout. Each has a Chromium of its own,
// with its reader's cookie in the jar: no page sees what another left, and what a page itself asks
// for carries the cookie too.
// stdin: {chromium, base, until, jobs: [{name, path, preset, cookie}]}; no page is begun after
// `until`, in ms since 1970.
import { launch } from "chrome-launcher";
import lighthouse, { desktopConfig } from "lighthouse";
import puppeteer from "puppeteer-core";

const text = await new Response(process.stdin).text();
const { chromium, base, until, jobs } = JSON.parse(text);
for (const job of jobs) {
  if (Date.now() > until) break;
  let told = await alone(job);
  // A Chromium that was too slow to begin graded nothing.
  if (told.fault) told = await alone(job);
  console.log(JSON.stringify(told));
}

async function alone(job) {
  const chrome = await launch({
    chromePath: chromium,
    chromeFlags: ["--headless=new", "--no-sandbox", "--disable-gpu"],
  });
  try {
    return await graded(chrome.port, job);
  } finally {
    chrome.kill();
  }
}

async function graded(port, { name, path, preset, cookie }) {
  const browserURL = `http://127.0.0.1:${port}`;
  const browser = await puppeteer.connect({ browserURL, defaultViewport: null });
  const page = await browser.newPage();
  if (cookie) await page.setCookie({ name: "sessionid", value: cookie, url: base });
  const flags = { output: "json", logLevel: "silent", disableFullPageScreenshot: true };
  const config = preset === "desktop" ? desktopConfig : undefined;
  const { lhr } = await lighthouse(base + path, flags, config, page);
  await browser.disconnect();
  const audits = Object.fromEntries(
    Object.entries(lhr.categories).map(([id, { score, auditRefs }]) => [
      id,
      {
        score,
        audits: auditRefs
          .filter((a) => a.weight > 0 && lhr.audits[a.id].score !== null)
          .map((a) => ({ id: a.id, weight: a.weight, score: lhr.audits[a.id].score })),
      },
    ]),
  );
  const at = new URL(lhr.finalDisplayedUrl).pathname;
  return { name, preset, at, fault: lhr.runtimeError?.code ?? "", grades: audits };
}
