// A tray examined by keyboard alone, from signing in on: every step is a key, and where the cursor stands can be seen.
import assert from "node:assert/strict";
import { everythingIsSent, examinations } from "../harness/bench.js";
import { WAYS } from "../harness/browser.js";
import { walk } from "../harness/walk.js";

/** More than a page has of places to stop at. */
const MOST_STOPS = 400;

/** What has the cursor: its role, its name, and whether a ring or the like shows where it is. */
const standing = (page) =>
  page.evaluate(() => {
    const one = document.activeElement;
    const style = getComputedStyle(one);
    const ring = (style.outlineStyle !== "none" && parseFloat(style.outlineWidth) > 0) || style.boxShadow !== "none";
    const named = one.labels?.[0]?.textContent ?? one.getAttribute("aria-label") ?? one.textContent;
    const name = named.replace(/\s+/g, " ").trim();
    return { tag: one.localName, id: one.id, name, value: one.value ?? "", ring, seen: one.getClientRects().length > 0 };
  });

/** Goes on with Tab to what fits; every stop on the way can be seen and says what it is. */
async function tabsTo(page, fits, words, key = "Tab") {
  for (let stop = 0; stop < MOST_STOPS; stop += 1) {
    const at = await standing(page);
    if (at.tag !== "body") {
      assert.ok(at.name || at.id, `a stop without a name: ${JSON.stringify(at)}`);
      assert.ok(at.ring && at.seen, `where the cursor is cannot be seen: ${JSON.stringify(at)}`);
      if (fits(at)) return at;
    }
    await page.keyboard.press(key);
  }
  throw new Error(`no way by keyboard to ${words}`);
}

const isNamed = (name) => (at) => at.name === name || at.name.startsWith(`${name} `);

/** Waits until the page has loaded that a key led to. */
async function leadsOn(page, path) {
  await page.waitForURL((url) => url.pathname === path);
  await page.waitForLoadState("load");
}

walk("a tray goes by keyboard alone, from signing in on", [WAYS.deskLight, WAYS.deskDark], "demo", async (scene) => {
  const officer = await scene.stranger();
  const { page } = officer;
  await officer.open("/sign-in");
  const { name, password } = scene.people.officer;
  await tabsTo(page, isNamed("Sign-in name"), "the name");
  await page.keyboard.type(name);
  await tabsTo(page, isNamed("Password"), "the password");
  await page.keyboard.type(password);
  await page.keyboard.press("Enter");
  await leadsOn(page, "/");
  await tabsTo(page, (at) => at.tag === "a" && at.name === "Bench", "the bench");
  await page.keyboard.press("Enter");
  await leadsOn(page, "/bench");
  // The list: a kind of gear is chosen by its first letters.
  await tabsTo(page, isNamed("Kind of gear"), "the kind");
  await page.keyboard.type("connector");
  assert.equal((await standing(page)).value, "connector");
  await tabsTo(page, isNamed("Show the list"), "the list");
  await page.keyboard.press("Enter");
  await page.waitForURL(/kind=connector/);
  await page.getByText(/on this device as of/).waitFor();
  await officer.looks();
  const marks = (await officer.rows("Items of the list")).slice(0, 4);
  for (const [at, mark] of marks.entries()) {
    await scansByKey(page, mark);
    if (at === 1) await findsBad(page);
    else if (at === 2) await pressesButton(page);
    else {
      // A press beside everything takes the cursor out of the sheet; its keys are heard all the same.
      if (at === 3) await page.getByRole("heading", { name: "Bench", exact: true }).click();
      await page.keyboard.press("f");
    }
    const words = at === 1 ? "to quarantine" : "fit";
    await page.locator("[data-said]").getByText(`${mark}: ${words}.`, { exact: true }).waitFor();
    assert.equal((await standing(page)).name.startsWith("Code, mark or serial"), true, "the cursor waits for the next scan");
  }
  await everythingIsSent(officer);
  for (const [at, mark] of marks.entries()) {
    const [last] = await examinations(officer, mark);
    assert.equal(last.verdict, at === 1 ? "quarantine" : "fit", mark);
  }
  await officer.picture(`keyboard, ${scene.way.name}`);
  await officer.looks();
});

/** The cursor stands in the field for codes; a mark and Enter open the sheet, which then has the cursor. */
async function scansByKey(page, mark) {
  await tabsTo(page, isNamed("Code, mark or serial"), "the field for codes");
  await page.keyboard.type(mark);
  await page.keyboard.press("Enter");
  await page.locator(`[data-mark="${mark}"]`).waitFor();
  await page.waitForFunction(() => document.activeElement?.id === "sheet");
}

/** One line fails, with what was seen; the arrows choose among its answers. */
async function findsBad(page) {
  await tabsTo(page, (at) => at.tag === "input" && at.name === "pass", "the first line");
  const chosen = () => page.evaluate(() => document.activeElement.value);
  for (let step = 0; step < 4 && (await chosen()) !== "fail"; step += 1) await page.keyboard.press("ArrowRight");
  await page.keyboard.press("Space");
  assert.equal(await chosen(), "fail");
  await tabsTo(page, isNamed("What you saw"), "what was seen");
  await page.keyboard.type("a crack at the hinge");
  await tabsTo(page, isNamed("Quarantine"), "the verdict");
  await page.keyboard.press("Enter");
}

/** The verdict is a button too, for whoever turned single keys off. */
async function pressesButton(page) {
  await tabsTo(page, isNamed("Fit, the rest passes"), "the verdict");
  await page.keyboard.press("Space");
}
