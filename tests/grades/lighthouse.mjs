// Grades the pages named on stdin: a line of JSON a page on stdout. Each has a Chromium of its own:
// a cookie that another page left would be sent in place of the one given here.
// stdin: {chromium, base, jobs: [{name, path, preset, cookie}]}
import { launch } from "chrome-launcher";
import lighthouse, { desktopConfig } from "lighthouse";

const text = await new Response(process.stdin).text();
const { chromium, base, jobs } = JSON.parse(text);
for (const { name, path, preset, cookie } of jobs) {
  const chrome = await launch({
    chromePath: chromium,
    chromeFlags: ["--headless=new", "--no-sandbox", "--disable-gpu"],
  });
  try {
    const headers = cookie ? { Cookie: cookie } : undefined;
    const config = preset === "desktop" ? desktopConfig : undefined;
    const { lhr } = await lighthouse(
      base + path,
      { port: chrome.port, output: "json", logLevel: "silent", extraHeaders: headers },
      config,
    );
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
    console.log(
      JSON.stringify({ name, preset, at, fault: lhr.runtimeError?.code ?? "", grades: audits }),
    );
  } finally {
    chrome.kill();
  }
}
