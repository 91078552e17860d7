// The person's way through the page in a real browser: drop a photo, look, turn, name, keep, rename,
// undo; corners by keyboard; no view wider than a phone. Run by tests/browser/run.sh.
"use strict";

const { chromium } = require("playwright-core");
const { execFileSync } = require("child_process");
const fs = require("fs");
const path = require("path");

const [, , address, photo, names, shots] = process.argv;
const origin = new URL(address).origin;
let passed = 0;
let failed = 0;

function expect(sound, what) {
  if (sound) passed++;
  else failed++;
  if (!sound) console.log(`failed: ${what}`);
}

async function dropPhoto(page) {
  await page.goto(`${origin}/photos`);
  const bytes = fs.readFileSync(photo).toString("base64");
  const transfer = await page.evaluateHandle(
    ([text, name]) => {
      const data = new DataTransfer();
      const content = Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
      data.items.add(new File([content], name, { type: "image/jpeg" }));
      return data;
    },
    [bytes, path.basename(photo)],
  );
  await page.dispatchEvent("[data-drop]", "drop", { dataTransfer: transfer });
  await page.waitForURL("**/photo?id=*");
  expect((await page.locator("h1").textContent()) === path.basename(photo), "the photo's own view");
}

// A phone's browser, which knows nothing but what the code on the screen tells.
async function sendByPhone(browser, page) {
  await page.goto(`${origin}/photos`);
  await page.getByRole("link", { name: "From my phone" }).click();
  await page.getByLabel("This computer is in several networks").selectOption("127.0.0.1").catch(() => {});
  await page.getByRole("button", { name: "Let my phone send photos" }).click();
  const code = await page.locator("code").first().textContent();
  await page.locator(".qr").screenshot({ path: "code.png" });
  const read = execFileSync("zbarimg", ["-q", "--raw", "code.png"], { encoding: "utf8", stdio: ["ignore", "pipe", "ignore"] });
  expect(read.trim() === code, "another program reads the code as the address beside it");
  const phone = await browser.newContext({ viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true });
  const small = await phone.newPage();
  await small.goto(code);
  if (shots) await small.screenshot({ path: `${shots}/sending-390.png` });
  const other = await browser.newContext();
  const answer = await (await other.newPage()).goto(code);
  expect(answer.status() === 403, "the code serves no second phone");
  await other.close();
  await small.locator("input[type=file]").setInputFiles(photo);
  await small.getByText("has come").waitFor();
  await page.getByText("1 photo has come").waitFor({ timeout: 10000 });
  if (shots) await page.screenshot({ path: `${shots}/phone-open.png` });
  await page.getByRole("button", { name: "Done: let nothing more in" }).click();
  await page.getByRole("button", { name: "Let my phone send photos" }).waitFor();
  expect(await small.goto(code).then(() => false, () => true), "once it is shut no one answers there");
  await phone.close();
  await page.goto(`${origin}/photos`);
  expect(await page.getByText("to be looked at").isVisible(), "the phone's photo waits to be looked at");
  await page.locator("ul.photos a").first().click();
  await page.getByText("Is it the photo you meant?").waitFor();
  if (shots) await page.screenshot({ path: `${shots}/asking.png` });
  await page.getByRole("button", { name: "Yes, measure it" }).click();
  await page.locator(".photo svg a").first().waitFor({ timeout: 60000 });
  await page.goto(`${origin}/photos`);
  await page.getByRole("button", { name: "Clear all photos" }).click();
}

async function nameAndKeep(page) {
  expect((await page.locator(".photo svg a").count()) === 48, "each cell is outlined over the photo");
  await page.getByText("Paste all names from a spreadsheet").click();
  await page.locator("textarea").fill(fs.readFileSync(names, "utf8"));
  await page.getByRole("button", { name: "Lay these names on the cells" }).click();
  await page.waitForURL("**/photo?id=*");
  await page.waitForLoadState();
  const first = page.locator("[name=ink-1-1]");
  expect((await first.inputValue()) === "Radish 4", "the first name lies on the first cell");
  await page.getByRole("button", { name: "The sheet lies upside down" }).click();
  await page.waitForLoadState();
  const colour = await page.locator("#cell-6-8 rect").getAttribute("fill");
  await page.getByRole("button", { name: "The sheet lies upside down" }).click();
  await page.waitForLoadState();
  expect(
    (await page.locator("#cell-1-1 rect").getAttribute("fill")).slice(0, 6) === colour.slice(0, 6),
    "turned by half, the first cell's colour is the last one's",
  );
  await page.locator("[name=batch]").fill("6");
  await page.locator("[name=out-6-8]").check();
  await page.getByRole("button", { name: "Keep these readings" }).click();
  await page.waitForSelector("text=Kept:");
}

async function moveCorners(page) {
  await page.getByText("Corners of card and chart").click();
  await page.getByRole("button", { name: "Move the corners of the card" }).click();
  const handle = page.locator(".corner").first();
  expect(await handle.evaluate((node) => node === document.activeElement), "a corner has the focus");
  const field = page.locator("[name=card_at]");
  await handle.press("ArrowRight");
  const before = (await field.inputValue()).split(",").map(Number);
  await handle.press("Shift+ArrowDown");
  const after = (await field.inputValue()).split(",").map(Number);
  expect(after[1] - before[1] === 20 && after[0] === before[0], "arrow keys move a corner");
  const box = await handle.boundingBox();
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
  await page.mouse.down();
  await page.mouse.move(box.x + box.width / 2 + 30, box.y + box.height / 2, { steps: 3 });
  expect(await page.locator(".loupe").isVisible(), "a loupe shows where the corner goes");
  await page.mouse.up();
  const dragged = (await field.inputValue()).split(",").map(Number);
  expect(dragged[0] > after[0] + 5, "a drag moves a corner");
}

async function renameAndUndo(page) {
  await page.goto(`${origin}/?find=radish`);
  await page.getByRole("link", { name: "Radish 4" }).click();
  await page.getByText("Set something right").click();
  await page.locator("[name=to]").first().fill("Radish 44");
  await page.getByRole("button", { name: "Rename" }).click();
  await page.waitForURL("**/history");
  await page.goto(`${origin}/`);
  expect(await page.getByRole("link", { name: "Radish 44" }).isVisible(), "the ink is renamed");
  await page.getByRole("button", { name: "Take back the last change" }).click();
  await page.waitForURL("**/history");
  await page.goto(`${origin}/`);
  expect(await page.getByRole("link", { name: "Radish 4", exact: true }).isVisible(), "and back again");
}

async function blend(page) {
  await page.goto(`${origin}/blends`);
  const first = await page.locator(".blend .run").first().innerText();
  await page.getByRole("button", { name: "I made this one" }).first().click();
  await page.waitForURL("**/blends");
  expect((await page.locator(".changes .blend").count()) === 1, "what was made is listed");
  expect((await page.locator(".blend .run").first().innerText()) !== first, "and not proposed again");
  await page.getByRole("button", { name: "Take it out of the list" }).click();
  await page.waitForURL("**/blends");
  expect((await page.locator(".changes .blend").count()) === 0, "and is taken out again");
  await page.getByLabel("first").fill("Plum 34");
  await page.getByLabel("then").first().fill("Primrose 6");
  await page.getByRole("button", { name: "See how they blend" }).click();
  expect(await page.getByText("half way").first().isVisible(), "one's own choice is foretold");
}

async function printChart(page) {
  await page.goto(`${origin}/sheets`);
  await page.getByLabel("What stands at the top").fill("Summer sowing");
  await page.getByLabel("Of each ink").fill("2");
  await page.getByRole("button", { name: "Show it so" }).click();
  await page.waitForURL("**/sheets?*");
  const picture = page.locator("img.sheet");
  await picture.evaluate((image) => image.decode());
  expect((await picture.evaluate((image) => image.naturalWidth)) > 500, "the chart is shown before it is printed");
  expect(
    (await page.locator("footer code").textContent()).includes("--copies 2 --title 'Summer sowing'"),
    "and its command line is told",
  );
  const [download] = await Promise.all([
    page.waitForEvent("download"),
    page.getByRole("button", { name: "Save as PDF" }).click(),
  ]);
  await download.saveAs("chart.pdf");
  const text = execFileSync("pdftotext", ["chart.pdf", "-"], { encoding: "utf8" });
  expect(text.includes("Summer sowing") && text.includes("sheet 1"), "the PDF has its title and its number");
  expect(text.split("Radish 4\n").length === 3, "and each ink twice");
  await page.getByRole("link", { name: "Strips" }).click();
  await page.getByLabel("first").fill("Radish 4");
  await page.getByLabel("then").first().fill("Plum 34");
  await page.getByRole("button", { name: "Show it so" }).click();
  await page.waitForURL("**/sheets?*ink1*");
  await picture.evaluate((image) => image.decode());
}

async function search(page) {
  await page.goto(`${origin}/`);
  await page.keyboard.press("Tab");
  const skip = await page.evaluate(() => document.activeElement.textContent);
  expect(skip === "To the content", "the first stop of the keyboard skips to the content");
  await page.getByLabel("Find an ink").fill("beet");
  expect((await page.locator(".wall li:visible").count()) === 1, "what is typed leaves one tile");
}

// A tab that was open while something else changed the inventory says so.
async function seeChange(page, other) {
  await page.goto(`${origin}/`);
  await other.goto(`${origin}/ink?name=Leek%2045`);
  await other.getByText("Set something right").click();
  await other.getByRole("button", { name: "Leave this ink out of everything" }).click();
  await other.waitForURL("**/history");
  await page.waitForSelector("#changed:visible", { timeout: 15000 });
  expect(true, "an older view says that the inventory has changed");
}

// No view is wider than what shows it, and what is clicked is large enough to be hit.
async function lookAtAll(browser, views) {
  for (const width of [360, 768, 1280])
    for (const colorScheme of ["light", "dark"]) {
      const context = await browser.newContext({ viewport: { width, height: 900 }, colorScheme });
      const page = await context.newPage();
      await page.goto(address);
      for (const view of views) {
        await page.goto(origin + view);
        const wide = await page.evaluate(() => document.documentElement.scrollWidth);
        expect(wide <= width, `${view} fits ${width} pixels (it is ${wide} wide)`);
        const low = await page
          .locator("button:visible, nav a:visible, summary:visible, select:visible")
          .evaluateAll((nodes) => nodes.filter((node) => node.getBoundingClientRect().height < 43.5).map((node) => node.outerHTML));
        expect(low.filter((html) => !html.includes("unseen")).length === 0, `${view} has targets that are too low: ${low[0]}`);
        if (shots) await page.screenshot({ path: `${shots}/${view.replace(/[^a-z]/g, "") || "wall"}-${width}-${colorScheme}.png` });
      }
      await context.close();
    }
}

async function main() {
  const browser = await chromium.launch({ executablePath: process.env.CHROMIUM || "/usr/bin/chromium", args: ["--no-sandbox"] });
  const context = await browser.newContext({ viewport: { width: 1200, height: 900 } });
  const page = await context.newPage();
  const faults = [];
  page.on("console", (message) => message.type() === "error" && faults.push(message.text()));
  page.on("pageerror", (error) => faults.push(error.message));
  await page.goto(address);
  expect(page.url() === `${origin}/`, "the token leaves the address");
  await sendByPhone(browser, page);
  await dropPhoto(page);
  await nameAndKeep(page);
  const photoView = new URL(page.url());
  await moveCorners(page);
  await search(page);
  await blend(page);
  await printChart(page);
  await renameAndUndo(page);
  await seeChange(page, await context.newPage());
  await lookAtAll(browser, ["/", "/ink?name=Radish%204", "/photos", photoView.pathname + photoView.search, "/batches", "/buy", "/blends", "/maps", "/sheets", "/sheets?kind=strip", "/sheets?kind=labels", "/history", "/phone"]);
  expect(faults.length === 0, `the browser complains: ${faults[0]}`);
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
