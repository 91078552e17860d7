// The views for everyone: axe-core finds nothing serious, the keyboard reaches what it should and
// is seen, nothing needs a drag, 320 pixels (a zoom of 400 % at 1280) hold every view, nothing moves
// for whoever wants stillness. On an invented range (range.csv beside) that has two batches and is
// large enough to be shown in the rough order first. Run by tests/browser/run.sh. The axe rules are those of WCAG 2.2 at its levels A and AA.
"use strict";

const { chromium } = require("playwright-core");
const { execFileSync } = require("child_process");
const fs = require("fs");

const [, , address, woad, inventory] = process.argv;
const origin = new URL(address).origin;
let passed = 0;
let failed = 0;

function expect(sound, what) {
  if (sound) passed++;
  else failed++;
  if (!sound) console.log(`failed: ${what}`);
}

const axe = fs.readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");

// CSP forbids scripts in the page, so axe runs through the debugger's own door.
async function findFaults(page) {
  await page.evaluate(axe);
  const found = await page.evaluate(() =>
    globalThis.axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] }),
  );
  return found.violations
    .filter((fault) => ["serious", "critical"].includes(fault.impact))
    .map((fault) => `${fault.id}: ${fault.nodes[0].html.slice(0, 160)} (${fault.nodes.length})`);
}

// What Tab stops at: in the order of the document, each in sight, each with an outline or the like.
async function walkByKeyboard(page, view) {
  await page.evaluate(() => document.activeElement.blur());
  let before = null;
  for (let i = 0; i < 40; i++) {
    await page.keyboard.press("Tab");
    const stop = await page.evaluateHandle(() => document.activeElement);
    const seen = await page.evaluate(
      ([now, last]) => {
        if (now === document.body) return null;
        const style = getComputedStyle(now);
        const holder = now.closest(".button, svg");
        const shown = (element) => element && getComputedStyle(element).outlineStyle !== "none";
        const box = now.getBoundingClientRect();
        return {
          html: now.outerHTML.slice(0, 120),
          later: !last || Boolean(last.compareDocumentPosition(now) & Node.DOCUMENT_POSITION_FOLLOWING),
          outlined: shown(now) || shown(holder) || (holder?.tagName === "svg" && style.cursor !== ""),
          inSight: box.bottom > 0 && box.top < innerHeight && box.right > 0,
        };
      },
      [stop, before],
    );
    if (!seen || (before && seen.html.includes('class="skip"'))) break; // once around
    expect(seen.later, `${view}: the keyboard goes back to ${seen.html}`);
    expect(seen.outlined, `${view}: the focus is not seen on ${seen.html}`);
    expect(seen.inSight, `${view}: the focus is out of sight on ${seen.html}`);
    before = stop;
  }
}

async function fitsNarrow(page, view) {
  await page.setViewportSize({ width: 320, height: 640 });
  const wide = await page.evaluate(() => document.documentElement.scrollWidth);
  expect(wide <= 320, `${view} fits 320 pixels, a zoom of 400 % (it is ${wide} wide)`);
  await page.setViewportSize({ width: 1280, height: 900 });
}

// Grey paper around swatches, letters apart, in the light and in the dark.
async function isNeutral(page, view) {
  const colours = await page.evaluate(() => {
    const style = getComputedStyle(document.body);
    return [style.backgroundColor, style.color].map((text) => text.match(/\d+/g).map(Number));
  });
  for (const [red, green, blue] of colours)
    expect(red === green && green === blue, `${view}: paper and letters are neutral`);
}

async function forEveryone(browser, views) {
  for (const colorScheme of ["light", "dark"]) {
    const context = await browser.newContext({ viewport: { width: 1280, height: 900 }, colorScheme, reducedMotion: "reduce" });
    const page = await context.newPage();
    await page.goto(address);
    for (const view of views) {
      await page.goto(origin + view);
      const faults = await findFaults(page);
      expect(faults.length === 0, `${view}, ${colorScheme}: ${faults.join("; ")}`);
      await isNeutral(page, view);
      if (colorScheme === "dark") continue;
      await walkByKeyboard(page, view);
      await fitsNarrow(page, view);
      const smooth = await page.evaluate(() => getComputedStyle(document.documentElement).scrollBehavior);
      expect(smooth === "auto", `${view} does not move for whoever wants stillness`);
    }
    await context.close();
  }
}

// The edge between two batches goes where it is dragged, clicked or moved by keys.
async function moveDivider(page) {
  await page.goto(`${origin}/batches?old=6&new=7`);
  const pair = page.locator(".pair").first();
  const divider = page.locator(".divider").first();
  const edge = () => pair.evaluate((node) => getComputedStyle(node.lastElementChild).clipPath);
  await divider.focus();
  await divider.press("ArrowRight");
  expect((await divider.inputValue()) === "51" && (await edge()).includes("51%"), "arrow keys move the edge");
  const line = await divider.boundingBox();
  await page.mouse.click(line.x + line.width * 0.8, line.y + line.height / 2);
  expect(Number(await divider.inputValue()) > 70, "a click below sets the edge");
  const box = await pair.boundingBox();
  await page.mouse.move(box.x + box.width * 0.6, box.y + 10);
  await page.mouse.down();
  await page.mouse.move(box.x + box.width * 0.25, box.y + 10, { steps: 3 });
  await page.mouse.up();
  expect(Math.abs(Number(await divider.inputValue()) - 25) <= 2, "a drag on the colours moves the edge");
}

// A large range is there at once, and put in colour order while it is looked at.
async function seeOrder(page) {
  const names = () => page.locator(".wall a").allTextContents();
  const answer = await page.request.get(`${origin}/`);
  expect((await answer.text()).includes("data-rough"), "a large range is shown in the rough order first");
  await page.goto(`${origin}/`);
  const rough = await names();
  await page.waitForSelector("text=In colour order:");
  const fine = await names();
  expect(rough.length === fine.length && rough.join() !== fine.join(), "the tiles go to their places");
  expect([...rough].sort().join() === [...fine].sort().join(), "and they are the same tiles");
}

// The command line changes the inventory: a view that is open says so.
async function seeCommandLine(page) {
  await page.goto(`${origin}/`);
  execFileSync(woad, ["rename", "Plum 34", "Plum 35", "--inventory", inventory], { stdio: "ignore" });
  await page.waitForSelector("#changed:visible", { timeout: 15000 });
  await page.getByRole("link", { name: "Look again" }).click();
  expect(await page.getByRole("link", { name: "Plum 35" }).isVisible(), "a change by a command line is seen");
}

async function main() {
  const browser = await chromium.launch({ executablePath: process.env.CHROMIUM || "/usr/bin/chromium", args: ["--no-sandbox"] });
  const page = await browser.newPage();
  await page.goto(address, { waitUntil: "commit" });
  await seeOrder(page);
  await moveDivider(page);
  await seeCommandLine(page);
  await forEveryone(browser, ["/", "/ink?name=Leek%203", "/photos", "/batches?old=6&new=7", "/buy", "/blends", "/maps", "/sheets", "/history"]);
  await browser.close();
}

main()
  .catch((error) => {
    failed++;
    console.log(`failed: ${error.message}`);
  })
  .finally(() => {
    console.log(`${passed} passed, ${failed} failed`);
    process.exit(failed ? 1 : 0);
  });
