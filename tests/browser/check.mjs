// Opens every HTML file of a folder in Debian's Chromium and looks at it:
//   node check.mjs FOLDER
// No message on the console and nothing fetched; nothing wider than the window of a telephone, of a desk or of a sheet of
// paper; every drawing told in words; headings, tables, contrast and names by the rules of axe-core.
import { existsSync, readFileSync, readdirSync } from "node:fs";
import { createRequire } from "node:module";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { chromium } from "playwright-core";

const BROWSER = process.env.CHROMIUM ?? "/usr/bin/chromium";
const WIDTHS = [360, 390, 1280];
// what is left of a sheet between margins of 14 mm, in CSS pixels
const SHEETS = { letter: Math.floor(8.5 * 96 - (28 / 25.4) * 96), a4: Math.floor(((210 - 28) / 25.4) * 96) };

const folder = process.argv[2];
if (!folder) {
  console.error("usage: node check.mjs FOLDER");
  process.exit(2);
}
if (!existsSync(BROWSER)) {
  console.error(`there is no browser at ${BROWSER}: apt-get install chromium`);
  process.exit(2);
}
const files = readdirSync(folder, { recursive: true }).map(String).filter((name) => name.endsWith(".html")).sort();
if (files.length === 0) {
  console.error(`no HTML file in ${folder}`);
  process.exit(2);
}
const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

/** What reaches beyond the window: the page, or a box in it that cannot be scrolled. */
const tooWide = () => {
  const found = [];
  const window_ = document.documentElement;
  if (window_.scrollWidth > window_.clientWidth) found.push(`the page is ${window_.scrollWidth} px wide`);
  for (const box of document.querySelectorAll("body *")) {
    if (box.closest("svg") && box.tagName !== "svg") continue;
    const frame = box.parentElement.closest(".table, pre");
    if (frame && getComputedStyle(frame).overflowX !== "visible") continue;
    const { right, width } = box.getBoundingClientRect();
    if (width > 0 && right > window_.clientWidth + 1) found.push(`<${box.tagName.toLowerCase()}> ends at ${Math.round(right)} px`);
  }
  return found.slice(0, 5);
};

/** Drawings that say nothing to somebody who cannot see them. */
const untold = () =>
  [...document.querySelectorAll("svg")]
    .filter((drawing) => {
      const words = drawing.closest("[role=img]")?.getAttribute("aria-label") ?? "";
      return !/\d/.test(words);
    })
    .map((drawing) => drawing.outerHTML.slice(0, 80));

const browser = await chromium.launch({
  executablePath: BROWSER,
  args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"],
});
let passed = 0;
let failed = 0;
for (const name of files) {
  const wrong = [];
  const url = pathToFileURL(resolve(join(folder, name))).href;
  const page = await browser.newPage();
  page.on("console", (message) => wrong.push(`console: ${message.text()}`));
  page.on("pageerror", (error) => wrong.push(`error: ${error.message}`));
  page.on("request", (request) => {
    if (request.url() !== url) wrong.push(`fetches ${request.url()}`);
  });
  for (const width of WIDTHS) {
    await page.setViewportSize({ width, height: 900 });
    await page.goto(url);
    for (const found of await page.evaluate(tooWide)) wrong.push(`at ${width} px: ${found}`);
    // the rules ask for nothing that changes with the width
    if (width !== WIDTHS[0]) continue;
    await page.evaluate(axe);
    const { violations } = await page.evaluate(() => globalThis.axe.run());
    for (const violation of violations) {
      const places = violation.nodes.slice(0, 3).map((node) => node.target.join(" "));
      wrong.push(`${violation.id}: ${violation.help} (${violation.nodes.length}: ${places.join("; ")})`);
    }
  }
  for (const drawing of await page.evaluate(untold)) wrong.push(`a drawing without words: ${drawing}`);
  await page.emulateMedia({ media: "print" });
  for (const [sheet, width] of Object.entries(SHEETS)) {
    await page.setViewportSize({ width, height: 1000 });
    for (const found of await page.evaluate(tooWide)) wrong.push(`on ${sheet}: ${found}`);
  }
  await page.close();
  if (wrong.length === 0) {
    passed += 1;
  } else {
    failed += 1;
    console.log(`${name}:`);
    for (const line of wrong) console.log(`  ${line}`);
  }
}
await browser.close();
console.log(`${passed} passed, ${failed} failed`);
process.exit(failed === 0 ? 0 : 1);
