// A count that was kept without a line and that the server did not take: it comes back into its form, and goes once the
// same is sent anew.
import assert from "node:assert/strict";
import { WAYS } from "../harness/browser.js";
import { walk } from "../harness/walk.js";

const JOB = "Valve spindles, Hallow Lane";
const SEEN = "Gate sticks when cold";

walk("a count that was not taken comes back with all that was typed", [WAYS.phoneDark], "demo", async (scene) => {
  const crew = await scene.person("crew");
  // The count that is sent first is not taken.
  crew.expects(422);
  await crew.section("Jobs");
  await crew.follow(JOB);
  await crew.follow("Function check");
  const back = new URL(crew.page.url()).pathname.replace(/check$/, "return");
  await crew.until(async (page) => {
    const cache = await caches.open("ropeloft-jobs");
    return Boolean(await cache.match(page));
  }, back);
  await crew.line(false);
  await crew.open(back);
  await crew.reads(/This is how it stood on \d{4}-\d\d-\d\d \d\d:\d\d /);
  const look = crew.page.locator("input[type=radio][value='look-at']").first();
  const field = (await look.getAttribute("name")).replace("[condition]", "[note]");
  const note = crew.page.locator(`[name="${field}"]`);
  await look.check();
  await crew.choose(/^What has no answer/, /fine/i);
  await crew.write(/^Back and fine/, "NO-SUCH-MARK");
  await crew.write("Hours", "1:30");
  // The note is asked for before anything is kept.
  await press(crew);
  await crew.page.waitForFunction((name) => document.querySelector(`[name="${name}"]`).validationMessage !== "", field);
  assert.equal((await entries(crew)).length, 0);
  await note.fill(SEEN);
  await press(crew);
  await crew.page.getByRole("heading", { name: "Kept on this device" }).waitFor();
  await crew.line(true);
  await crew.page.evaluate(() => globalThis.ropeloft.queue.flush());
  await crew.page.getByRole("heading", { name: "Not taken" }).waitFor();
  await crew.open(back);
  await crew.page.locator("[data-read-back]").waitFor();
  assert.equal(await note.inputValue(), SEEN);
  assert.ok(await look.isChecked(), "the condition is chosen again");
  assert.equal(await crew.page.locator("[name=hours]").inputValue(), "1:30");
  assert.equal(await crew.page.locator("[name=scanned]").inputValue(), "NO-SUCH-MARK");
  assert.equal(await crew.page.locator("[name=rest]").inputValue(), "fine");
  await crew.looks();
  await crew.picture(`read back, ${crew.way.name}`);
  await crew.page.locator("[name=scanned]").fill("");
  await press(crew);
  await crew.page.getByRole("heading", { name: "Sent and recorded" }).waitFor();
  assert.equal((await entries(crew)).length, 0, "what was not taken is gone");
  await crew.follow("Open this page as it stands now");
  await crew.reads("What was counted");
  await crew.reads(SEEN);
  await crew.readsNot("not taken");
});

walk("a length that is asked about once there is a line can be confirmed then", [WAYS.phoneLight], "demo", async (scene) => {
  const officer = await scene.person("officer");
  const { rows } = await officer.json("/api/v1/items?q=BR-01");
  const item = `/items/${rows.find((row) => row.mark === "BR-01").id}`;
  await officer.open(`${item}/examinations/new`);
  await officer.line(false);
  await officer.choose("Kind", /periodic/i);
  for (const field of await officer.page.locator('[name^="answers[diameter][values]"]').all()) await field.fill("10.5");
  const length = officer.page.locator('[name="answers[length][values][0]"]');
  await length.fill("400");
  await officer.page.getByRole("button", { name: "All the rest pass" }).click();
  await officer.page.locator('[name="markings_readable"][value="yes"]').check();
  await officer.choose("Verdict", /^fit$/i);
  const records = () => officer.page.getByRole("button", { name: "Record examination" }).last().click();
  await records();
  await officer.page.getByRole("heading", { name: "Kept on this device" }).waitFor();
  officer.expects(422);
  await officer.line(true);
  await officer.page.evaluate(() => globalThis.ropeloft.queue.flush());
  await officer.page.getByRole("heading", { name: "Not taken" }).waitFor();
  await officer.open(`${item}/examinations/new`);
  await officer.reads("Is it really 400 m?");
  const box = officer.page.locator('[name="answers[length][confirmed]"]');
  await box.check();
  // What is confirmed is just what was typed.
  await length.fill("300");
  assert.equal(await box.isChecked(), false);
  await length.fill("400");
  await box.check();
  await officer.looks();
  await officer.picture(`length asked later, ${officer.way.name}`);
  await records();
  await officer.page.getByRole("heading", { name: "Sent and recorded" }).waitFor();
  assert.equal((await entries(officer)).length, 0);
  const last = (await officer.json(`/api/v1${item}/examinations`)).examinations[0];
  assert.equal(last.answers.find((answer) => answer.criterion === "length").confirmed, true);
});

async function press(crew) {
  await crew.page.getByRole("button", { name: "Count it back" }).click();
}

async function entries(crew) {
  return crew.page.evaluate(() => globalThis.ropeloft.queue.entries());
}
