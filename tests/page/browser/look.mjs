// Looks at pages as a reader does: node look.mjs PAGE.html…
// Prints one JSON object a page: what reaches beyond the screen, which texts of
// pictures overlap, whether a tick survives, how many sheets are printed.
import { readFileSync, writeFileSync } from "node:fs";
import { pathToFileURL } from "node:url";
import { HtmlValidate } from "html-validate";
import { chromium } from "playwright-core";

const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
  args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync"],
});

// Run in the page: the width that is too much, and pairs of texts that overlap.
function measure() {
  const root = document.documentElement;
  const beyond = root.scrollWidth - root.clientWidth;
  const wide = beyond > 0 ? [...document.querySelectorAll("body *")]
    .filter((one) => one.getBoundingClientRect().right > root.clientWidth + 1 && !one.closest(".grid, .canvas, svg"))
    .map((one) => one.tagName + "." + one.className + " " + one.textContent.slice(0, 40)).slice(-3) : [];
  const overlaps = [];
  for (const svg of document.querySelectorAll("svg")) {
    const texts = [...svg.querySelectorAll("text")].map((text) => {
      const size = parseFloat(getComputedStyle(text).fontSize);
      const box = text.getBBox();
      const y = parseFloat(text.getAttribute("y"));
      // Figures are 0.7 of the size high; the box is as high as accents reach.
      const corners = [[box.x, y], [box.x + box.width, y],
        [box.x + box.width, y - 0.7 * size], [box.x, y - 0.7 * size]];
      const turn = text.getCTM();
      const points = corners.map(([x, y]) => new DOMPoint(x, y).matrixTransform(turn));
      return { words: text.textContent, points };
    });
    const apart = (a, b) => [a, b].some((sides) => [[0, 1], [1, 2]].some(([from, to]) => {
      const dx = sides[to].x - sides[from].x, dy = sides[to].y - sides[from].y;
      const length = Math.hypot(dx, dy) || 1;
      const reach = (points) => points.map((p) => (p.x * dx + p.y * dy) / length);
      const [one, two] = [reach(a), reach(b)];
      return Math.max(...one) <= Math.min(...two) + 0.5 || Math.max(...two) <= Math.min(...one) + 0.5;
    }));
    texts.forEach((a, index) => texts.slice(index + 1).forEach((b) => {
      if (!apart(a.points, b.points)) overlaps.push(`${a.words} | ${b.words}`);
    }));
  }
  // A number of which a part is seen would be read as another: at the edge of a table
  // that scrolls, or under its first column, before and after scrolling.
  const cut = [];
  for (const grid of document.querySelectorAll(".grid")) {
    // All rows of a table of which some are shown, too.
    grid.querySelectorAll("details").forEach((folded) => { folded.open = true; });
    for (const by of [0, 60, 140, 1e4]) {
      grid.scrollTo({ left: by, behavior: "instant" });
      const left = grid.getBoundingClientRect().left, edge = left + grid.clientWidth;
      for (const row of grid.querySelectorAll("tr")) {
        const under = by === 0 ? left : row.firstElementChild.getBoundingClientRect().right;
        for (const cell of [...row.children].slice(1)) {
          if (!/\d/.test(cell.textContent)) continue;
          const text = document.createRange();
          text.selectNodeContents(cell);
          const box = text.getBoundingClientRect();
          const astride = (x) => box.left < x - 1 && box.right > x + 1;
          if (astride(edge) || astride(under)) cut.push(`${cell.textContent} at ${by}`);
        }
      }
    }
    grid.scrollTo({ left: 0, behavior: "instant" });
  }
  // A long table in columns stays within each of them.
  const spilled = [...document.querySelectorAll(".grid.long")].filter((grid) => {
    const style = getComputedStyle(grid), gap = parseFloat(style.columnGap) || 0;
    const least = parseFloat(style.columnWidth), width = grid.clientWidth;
    const count = Math.max(1, Math.floor((width + gap) / (least + gap)));
    const room = (width - (count - 1) * gap) / count;
    return count > 1 && [...grid.querySelectorAll("tr")].some((row) => row.getBoundingClientRect().width > room + 1);
  }).map((grid) => grid.getAttribute("aria-label"));
  // No text is squeezed to a column of letters.
  const squeezed = [...document.querySelectorAll(".values td, .values th")]
    .filter((cell) => cell.textContent.trim().length > 4 && cell.clientWidth > 0
      && cell.clientWidth < 2.2 * parseFloat(getComputedStyle(cell).fontSize))
    .map((cell) => cell.textContent);
  // Settings are at least twice the text.
  const pixels = (selector) => {
    const found = document.querySelector(selector);
    return found ? parseFloat(getComputedStyle(found).fontSize) : 0;
  };
  return { beyond, wide, overlaps, cut, spilled, squeezed, text: pixels(".op .words"), setting: pixels(".settings b") };
}

// Run in the page: the texts that are smaller than so many points.
function tooSmall(points) {
  const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  const found = [];
  for (let text = texts.nextNode(); text; text = texts.nextNode()) {
    const one = text.parentElement;
    if (!text.data.trim() || !one.checkVisibility() || one.closest("script, style")) continue;
    const svg = one.closest("svg");
    const shrunk = svg ? svg.getBoundingClientRect().width / svg.viewBox.baseVal.width : 1;
    const size = parseFloat(getComputedStyle(one).fontSize) * shrunk * 0.75;
    if (size < points - 0.01) found.push(`${text.data.trim()}: ${size.toFixed(1)} pt`);
  }
  return found;
}

const sheets = (pdf) => (pdf.toString("latin1").match(/\/Type\s*\/Page[^s]/g) ?? []).length;
const validator = new HtmlValidate({ extends: ["html-validate:standard"], rules: {
  // Roles are repeated where a style changes how a table is laid out.
  "no-redundant-role": "off",
} });

for (const file of process.argv.slice(2)) {
  const found = { file, widths: {}, printed: {} };
  const context = await browser.newContext();
  const page = await context.newPage();
  const asked = [];
  page.on("request", (request) => asked.push(request.url()));
  for (const width of [390, 1280]) {
    await page.setViewportSize({ width, height: 900 });
    await page.goto(pathToFileURL(file).href);
    found.widths[width] = await page.evaluate(measure);
    if (process.env.SHOTS) {
      await page.screenshot({ path: file.replace(/\.html$/, `-${width}.png`), fullPage: true });
    }
  }
  found.asked = asked.filter((url) => !url.startsWith("file:") && !url.startsWith("data:"));
  const boxes = page.locator(".op input");
  found.ops = await boxes.count();
  if (found.ops > 0) {
    await boxes.first().check();
    await page.reload();
    found.kept = await boxes.first().isChecked();
    // The same op with another value in it has lost its tick, and says why.
    const text = readFileSync(file, "utf8");
    const words = /(<p class="words">)/;
    writeFileSync(file, text.replace(words, "$1Changed: "));
    await page.reload();
    found.keptThoughChanged = await boxes.first().isChecked();
    found.why = await page.locator(".lost").first().textContent({ timeout: 20000 }).catch(() => "");
    writeFileSync(file, text);
    await page.reload();
  }
  // On paper.
  await page.setViewportSize({ width: 700, height: 900 });
  await page.emulateMedia({ media: "print" });
  ({ spilled: found.spilled, squeezed: found.squeezed } = await page.evaluate(measure));
  await page.emulateMedia({ media: null });
  for (const [name, format, card] of [["a4", "A4"], ["letter", "Letter"],
    ["card", "A4", true], ["card-letter", "Letter", true]]) {
    if (card) await page.check("#view-card");
    const pdf = await page.pdf({ format, preferCSSPageSize: false });
    found.printed[name] = sheets(pdf);
    writeFileSync(file.replace(/\.html$/, `-${name}.pdf`), pdf);
  }
  // Nothing on the card is too small to be read at the machine.
  await page.emulateMedia({ media: "print" });
  found.small = await page.evaluate(tooSmall, 8);
  await page.emulateMedia({ media: null });
  const report = await validator.validateString(readFileSync(file, "utf8"));
  found.invalid = report.results.flatMap((result) => result.messages)
    .map((message) => `${message.line}:${message.column} ${message.ruleId}: ${message.message}`);
  console.log(JSON.stringify(found));
  await context.close();
}
await browser.close();
