// The bench in haste: a scan before the last verdict, keys before the sheet is there, a key too many, marks typed by hand.
import assert from "node:assert/strict";
import { everythingIsSent, examinations, onThisDevice, opened } from "../harness/bench.js";
import { WAYS } from "../harness/browser.js";
import { walk } from "../harness/walk.js";

/** As fast as a scanner types, as fast as a hand does, and as long as a key is left alone that is meant as a verdict. */
const SCANNER_MS = 5;
const HAND_MS = 180;
const ALONE_MS = 1_000;
const LIST = "/bench?kind=helmet&state=in-service";

/** Opens the list, and takes the cursor out of every field. */
async function sits(scene) {
  const officer = await scene.person("officer");
  await officer.open(LIST);
  await onThisDevice(officer);
  const marks = await officer.rows("Items of the list");
  await beside(officer);
  return { officer, marks };
}

const beside = (officer) => officer.page.getByRole("heading", { name: "Bench", exact: true }).click();

/** Types wherever the cursor is, and ends it with Enter. */
async function types(officer, text, delay = SCANNER_MS) {
  await officer.page.keyboard.type(text, { delay });
  await officer.page.keyboard.press("Enter");
}

/** Lets a key stand alone. */
async function alone(officer, key) {
  await officer.page.keyboard.press(key);
  await officer.page.waitForTimeout(ALONE_MS);
}

const says = (officer, words) => officer.page.locator("[data-said]").getByText(words).waitFor();
const misses = (officer, words) => officer.page.locator("[data-missed]").getByText(words, { exact: true }).waitFor();

/** The verdicts since yesterday, by mark. */
async function verdicts(officer, marks) {
  await everythingIsSent(officer);
  const since = new Date(Date.now() - 86_400_000).toISOString().slice(0, 10);
  const found = {};
  for (const mark of marks) {
    const all = await examinations(officer, mark);
    found[mark] = all.filter((one) => one.on >= since).map((one) => one.verdict).join();
  }
  return found;
}

/** From now on the server's sheets come late. */
const comeLate = (officer, ms) =>
  officer.page.route("**/bench/sheets?**", async (route) => {
    await new Promise((done) => setTimeout(done, ms));
    await route.continue();
  });

walk("a verdict is of the sheet that was asked for last, never of one laid aside", [WAYS.deskLight, WAYS.phoneDark], "demo", async (scene) => {
  const { officer, marks } = await sits(scene);
  const [aside, other, third] = marks;
  // A code that two things have.
  await officer.page.route("**/bench/sheets?code=777", async (route) => {
    const sheets = [other, third].map((mark) => officer.page.evaluate(async (code) => (await fetch(`/bench/sheets?code=${code}`)).text(), mark));
    await route.fulfill({ contentType: "text/html", body: (await Promise.all(sheets)).join("") });
  });
  await types(officer, aside);
  await opened(officer, aside);
  await officer.page.getByText("Findings, markings, next due").click();
  await officer.write("Findings", "A scratch.");
  await beside(officer);
  await types(officer, "777");
  await says(officer, "Several items may be meant by this. Which is it?");
  await says(officer, `${aside} was opened and has no verdict.`);
  assert.equal(await officer.page.locator("#sheet").count(), 0, "the sheet is laid aside");
  await officer.looks();
  await officer.picture(`laid aside, ${scene.way.name}`);
  await alone(officer, "f");
  await says(officer, "F: no sheet is open, so no verdict is recorded.");
  assert.deepEqual(await verdicts(officer, [aside, other]), { [aside]: "", [other]: "" });
  // A code that leads nowhere lays aside just so.
  await officer.page.locator("[data-said]").getByRole("button", { name: `Open ${aside} again` }).click();
  await opened(officer, aside);
  assert.equal(await officer.page.getByLabel("Findings").inputValue(), "A scratch.", "what was typed is kept");
  await beside(officer);
  officer.expects(409);
  await types(officer, "XYZ-9");
  await misses(officer, "not found: XYZ-9. No item has this code, mark or serial.");
  await misses(officer, `${aside}: opened, no verdict.`);
  await beside(officer);
  await alone(officer, "f");
  assert.deepEqual(await verdicts(officer, [aside]), { [aside]: "" });
  // What is put right goes out of the list.
  await officer.page.locator("[data-missed]").getByRole("button", { name: `Look again: ${aside}` }).click();
  await opened(officer, aside);
  await alone(officer, "f");
  await says(officer, `${aside}: fit.`);
  await officer.page.locator("[data-missed]").getByText(`${aside}: opened`).waitFor({ state: "detached" });
  await misses(officer, "not opened: 777. Several items may be meant by it.");
  for (const code of ["XYZ-9", "777"]) {
    await officer.page.locator("[data-missed]").getByRole("button", { name: `Leave out: ${code}` }).click();
  }
  await officer.page.locator("[data-missed]").waitFor({ state: "hidden" });
});

walk("on a slow line a key before the sheet is there counts for nothing, and says so", [WAYS.deskDark], "demo", async (scene) => {
  const { officer, marks } = await sits(scene);
  const [aside, next, last] = marks;
  await types(officer, aside);
  await opened(officer, aside);
  await comeLate(officer, 1_500);
  await types(officer, next);
  await officer.page.waitForTimeout(300);
  await officer.page.keyboard.press("f");
  await says(officer, `F was pressed before the sheet of ${next} was here: no verdict is recorded.`);
  await opened(officer, next);
  await says(officer, `F was pressed before the sheet of ${next} was here: no verdict is recorded.`);
  assert.equal(await officer.page.getByLabel("Code, mark or serial").inputValue(), "");
  await officer.page.waitForTimeout(ALONE_MS);
  assert.deepEqual(await verdicts(officer, [aside, next]), { [aside]: "", [next]: "" });
  // Of two scans at once the last one counts, whichever answer comes first.
  await officer.page.unroute("**/bench/sheets?**");
  await officer.page.route(`**/bench/sheets?code=${aside}`, async (route) => {
    await new Promise((done) => setTimeout(done, 1_500));
    await route.continue();
  });
  await types(officer, aside);
  await types(officer, last);
  await opened(officer, last);
  await officer.page.waitForTimeout(2_000);
  await misses(officer, `not opened: ${aside}. The next was scanned before its sheet was here.`);
  await alone(officer, "f");
  await says(officer, `${last}: fit.`);
  assert.deepEqual(await verdicts(officer, [aside, next, last]), { [aside]: "", [next]: "", [last]: "fit" });
});

walk("one key too many spoils no scan, and in rhythm nothing is lost unseen", [WAYS.deskLight], "demo", async (scene) => {
  const { officer, marks } = await sits(scene);
  const [first, ...rest] = marks.slice(0, 5);
  officer.expects(409);
  await types(officer, first);
  await opened(officer, first);
  await officer.page.keyboard.press("f");
  await officer.page.waitForTimeout(HAND_MS);
  await officer.page.keyboard.press("f");
  await says(officer, `${first}: fit.`);
  // Twice more, with nothing open: no beginning of a code.
  await alone(officer, "f");
  await alone(officer, "f");
  await says(officer, "F: no sheet is open, so no verdict is recorded.");
  for (const [at, mark] of rest.entries()) {
    await types(officer, mark);
    await opened(officer, mark);
    await officer.page.keyboard.press("f");
    // The next scan comes sooner or later: the key has stood alone for longer than a scanner waits.
    await officer.page.waitForTimeout(at % 2 ? ALONE_MS : 250);
  }
  await officer.page.waitForTimeout(ALONE_MS);
  const found = await verdicts(officer, [first, ...rest]);
  assert.deepEqual(Object.values(found), Array(5).fill("fit"), JSON.stringify(found));
  await types(officer, "XYZ-9");
  await misses(officer, "not found: XYZ-9. No item has this code, mark or serial.");
  await alone(officer, "f");
  await types(officer, marks[5]);
  await opened(officer, marks[5]);
  await misses(officer, "not found: XYZ-9. No item has this code, mark or serial.");
  await officer.open("/bench");
  await misses(officer, "not found: XYZ-9. No item has this code, mark or serial.");
  await officer.looks();
});

walk("a mark that begins like a verdict may be typed by hand, wherever the cursor is", [WAYS.deskLight], "demo", async (scene) => {
  const { officer, marks } = await sits(scene);
  officer.expects(409);
  for (const delay of [HAND_MS, 350, 70, SCANNER_MS]) {
    await types(officer, marks[0]);
    await opened(officer, marks[0]);
    await types(officer, `F-${delay}`, delay);
    await misses(officer, `not found: F-${delay}. No item has this code, mark or serial.`);
    await beside(officer);
  }
  assert.deepEqual(await verdicts(officer, [marks[0]]), { [marks[0]]: "" });
  // Escape takes a key back.
  await types(officer, marks[0]);
  await opened(officer, marks[0]);
  await officer.page.keyboard.press("f");
  await officer.page.keyboard.press("Escape");
  await officer.page.waitForTimeout(ALONE_MS);
  assert.deepEqual(await verdicts(officer, [marks[0]]), { [marks[0]]: "" });
});

walk("without a line a code that two things may have is asked about too", [WAYS.phoneLight], "demo", async (scene) => {
  const { officer, marks } = await sits(scene);
  // A code on one that is the serial of another, as lists of before have it.
  const serial = await officer.page.evaluate(async ([first, second]) => {
    const { kept } = globalThis.ropeloft;
    const sheets = await kept.all("sheets");
    const [one, other] = [first, second].map((mark) => sheets.find((sheet) => sheet.mark === mark));
    await kept.put("sheets", one.id, { ...one, codes: [...one.codes, other.serial] });
    return other.serial;
  }, marks);
  await officer.line(false);
  await types(officer, serial);
  await says(officer, "Several items may be meant by this. Which is it?");
  await officer.page.locator("[data-said]").getByRole("button", { name: marks[1], exact: true }).click();
  await opened(officer, marks[1]);
});

walk("what the server refuses does not stand as recorded", [WAYS.deskLight], "demo", async (scene) => {
  const officer = await scene.person("officer");
  await officer.open("/bench?kind=helmet&state=quarantined");
  await onThisDevice(officer);
  const [held] = await officer.rows("Items of the list");
  await beside(officer);
  await types(officer, held);
  await opened(officer, held);
  officer.expects(422);
  await alone(officer, "f");
  await says(officer, new RegExp(`^${held}: no verdict is recorded, for it was not taken\\. .*in quarantine`));
  assert.equal(await officer.page.locator("[data-said]").getByText(`${held}: fit.`, { exact: true }).count(), 0);
});

walk("a refused verdict is told where one looks, and at its place", [WAYS.deskLight, WAYS.phoneLight], "demo", async (scene) => {
  const { officer, marks } = await sits(scene);
  await types(officer, marks[0]);
  await opened(officer, marks[0]);
  const first = officer.page.locator('[data-criterion]:not([data-out="retire"])').first();
  await first.getByLabel("fail").check();
  await first.getByLabel("What you saw").fill("torn");
  await beside(officer);
  await alone(officer, "f");
  await says(officer, new RegExp(`^${marks[0]}: no verdict is recorded\\. .*this failed`));
  const isSeen = await officer.page.evaluate(() => {
    const { top, bottom } = document.querySelector("[data-forced]").getBoundingClientRect();
    return top >= 0 && bottom <= innerHeight;
  });
  assert.ok(isSeen, "the sentence at the verdicts stands in view");
  assert.equal(await officer.page.evaluate(() => document.activeElement.dataset.key), "f");
  await officer.looks();
});
