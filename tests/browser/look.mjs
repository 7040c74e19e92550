// Opens one page in the system's Chromium and says what a reader would meet.
// Usage: node look.mjs CHROMIUM PAGE.html FOLDER   -> one JSON object on stdout
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { chromium } from "playwright-core";

const [executablePath, page_path, folder] = process.argv.slice(2);
const address = pathToFileURL(page_path).href;
// What is left of a sheet between its margins (13 mm left and right, 14 mm above and below)
// at 96 px an inch.
const A4 = { width: 695, height: 1016 }; // 210 x 297 mm
const LETTER = { width: 717, height: 950 }; // 8.5 x 11 in
const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf-8");

// Runs in the page: which texts of one drawing lie over each other, and what
// sticks out of the window sideways?
function look() {
  const overlaps = [];
  let texts_seen = 0;
  for (const drawing of document.querySelectorAll("svg")) {
    // Letters drawn as outlines stand in one group per text, named "...text_7".
    const texts = [...drawing.querySelectorAll("text, g[id*='text_']")]
      .map((text) => ({
        words: text.tagName === "text" ? text.textContent.trim() : text.id,
        box: text.getBoundingClientRect(),
      }))
      .filter(({ words }) => words !== "")
      .filter(({ box }) => box.width > 0 && box.height > 0);
    texts_seen += texts.length;
    for (let i = 0; i < texts.length; i++) {
      for (let j = i + 1; j < texts.length; j++) {
        const a = texts[i].box;
        const b = texts[j].box;
        const across = Math.min(a.right, b.right) - Math.max(a.left, b.left);
        const down = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
        // A line of text has empty space above and below its letters: boxes may
        // touch by a quarter of a line without any letter touching another.
        const line = Math.min(a.height, b.height);
        if (across > 1 && down > line / 4) overlaps.push([texts[i].words, texts[j].words]);
      }
    }
    const frame = drawing.getBoundingClientRect();
    for (const { words, box } of texts) {
      if (box.left < frame.left - 1 || box.right > frame.right + 1) {
        overlaps.push([words, "the edge of its drawing"]);
      }
    }
  }
  const root = document.documentElement;
  const edge = document.body.getBoundingClientRect().right;
  // On paper nothing can be scrolled: a table, a cell's word or a drawing past the edge is cut.
  const cut = [...document.querySelectorAll("table, figure, svg, h1, h2, h3, p, li")]
    .filter((element) => element.getBoundingClientRect().right > edge + 1)
    .map((element) => element.textContent.trim().slice(0, 60));
  const dead = [...document.querySelectorAll("a[href]")]
    .map((link) => link.getAttribute("href"))
    .filter((href) => !href.startsWith("#") || !document.getElementById(href.slice(1)));
  return {
    cut,
    dead_links: dead,
    links: document.querySelectorAll("a[href]").length,
    overflow: root.scrollWidth - root.clientWidth,
    overlaps,
    texts: texts_seen,
    drawings: document.querySelectorAll("svg").length,
    smallest_text_px: Math.min(
      ...[...document.querySelectorAll("p, td, th, li, figcaption")].map((element) =>
        parseFloat(getComputedStyle(element).fontSize),
      ),
    ),
    title: document.title,
    first_words: document.body.innerText.trim().slice(0, 300),
  };
}

const browser = await chromium.launch({
  executablePath,
  headless: true,
  args: [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
  ],
});
const said = { complaints: [], requests: [], views: {}, axe: {} };
try {
  for (const [name, viewport, media] of [
    ["desk", { width: 1280, height: 900 }, "screen"],
    ["phone", { width: 390, height: 844 }, "screen"],
    ["A4", A4, "print"],
    ["Letter", LETTER, "print"],
  ]) {
    const context = await browser.newContext({ viewport, offline: true });
    const page = await context.newPage();
    page.on("console", (message) => {
      if (["error", "warning"].includes(message.type())) said.complaints.push(message.text());
    });
    page.on("pageerror", (error) => said.complaints.push(String(error)));
    page.on("request", (request) => {
      const url = request.url();
      if (url !== address && !url.startsWith("data:")) said.requests.push(url);
    });
    await page.emulateMedia({ media });
    await page.goto(address, { waitUntil: "load" });
    said.views[name] = await page.evaluate(look);
    // TAKESTATS_PICTURES=1 keeps the whole page as a picture, for somebody to look at.
    const fullPage = Boolean(process.env.TAKESTATS_PICTURES);
    if (name === "desk") {
      said.text = await page.evaluate(() => document.body.innerText);
      said.scripts = await page.evaluate(() => document.scripts.length);
    }
    if (fullPage || name === "desk") {
      await page.screenshot({ path: join(folder, `${name}.png`), fullPage });
    }
    if (media === "print") {
      await page.pdf({ path: join(folder, `${name}.pdf`), format: name, printBackground: true });
    } else {
      await page.evaluate(axe);
      const found = await page.evaluate(() => window.axe.run({ resultTypes: ["violations"] }));
      said.axe[name] = found.violations.map(({ id, impact, help, nodes }) => ({
        id,
        impact,
        help,
        where: nodes.slice(0, 3).map((node) => node.html.slice(0, 120)),
      }));
      said.axe_rules = found.passes.length;
    }
    await context.close();
  }
  // The same page where scripts are switched off.
  const still = await browser.newContext({
    viewport: { width: 1280, height: 900 },
    javaScriptEnabled: false,
    offline: true,
  });
  const page = await still.newPage();
  await page.goto(address, { waitUntil: "load" });
  const fullPage = Boolean(process.env.TAKESTATS_PICTURES);
  await page.screenshot({ path: join(folder, "desk-still.png"), fullPage });
  await still.close();
} finally {
  await browser.close();
}
process.stdout.write(JSON.stringify(said));
