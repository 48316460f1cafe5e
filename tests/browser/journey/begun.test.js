// What is typed into a form stays on the device until it is taken, left or thrown away; a length far from the record is
// asked about at the bench.
import assert from "node:assert/strict";
import { examinations, everythingIsSent, onThisDevice, presses, scans } from "../harness/bench.js";
import { WAYS } from "../harness/browser.js";
import { walk } from "../harness/walk.js";

const SEEN = "a frayed end, on the left";

/** The address of the item with this mark. */
async function pageOf(visitor, mark) {
  const { rows } = await visitor.json(`/api/v1/items?q=${encodeURIComponent(mark)}`);
  return `/items/${rows.find((row) => row.mark === mark).id}`;
}

const begun = (visitor) =>
  visitor.page.evaluate(async () => (await globalThis.ropeloft.kept.all("drafts")).filter((draft) => draft.form).length);

/** Waits until as many forms are kept. */
async function keeps(visitor, count) {
  await visitor.page.waitForFunction(async (count) => {
    const drafts = await globalThis.ropeloft.kept.all("drafts");
    return drafts.filter((draft) => draft.form).length === count;
  }, count);
}

walk("an examination that was begun is there again after a reload, and gone once it is recorded", [WAYS.phoneLight], "demo", async (scene) => {
  const officer = await scene.person("officer");
  const item = await pageOf(officer, "BR-01");
  const form = `${item}/examinations/new`;
  await officer.open(form);
  await officer.write(/^Findings/, SEEN);
  await officer.choose(/^Kind/, /periodic/i);
  await officer.page.locator('[name="answers[slide][outcome]"][value="watch"]').check();
  await keeps(officer, 1);
  await officer.open(form);
  await officer.reads("is here again");
  assert.equal(await officer.field(/^Findings/).inputValue(), SEEN);
  assert.equal(await officer.page.locator('[name="answers[slide][outcome]"]:checked').getAttribute("value"), "watch");
  await officer.looks();
  await officer.picture(`begun, ${scene.way.name}`);
  // What the server gives back with its words stands as it is.
  await officer.choose(/^Verdict/, /quarantine/i);
  await officer.press("Record examination", { status: 422 });
  await officer.readsNot("is here again");
  await officer.page.locator('[name="answers[slide][note]"]').fill(SEEN);
  await officer.press("Record examination");
  await keeps(officer, 0);
  await officer.open(form);
  await officer.readsNot("is here again");
  assert.equal(await officer.field(/^Findings/).inputValue(), "");
});

walk("a plan that was begun is there in another tab, is thrown away by hand, and is gone once one signs out", [WAYS.deskDark], "demo", async (scene) => {
  const officer = await scene.person("officer");
  await officer.open("/jobs/new");
  await officer.write(/^What is to be done/, "Sluice, lower gate");
  await keeps(officer, 1);
  await officer.newTab();
  await officer.open("/jobs/new");
  await officer.reads("is here again");
  assert.equal(await officer.field(/^What is to be done/).inputValue(), "Sluice, lower gate");
  await officer.looks();
  await officer.page.getByRole("button", { name: "Begin anew" }).click();
  await officer.page.locator("[data-begun-said]").waitFor({ state: "detached" });
  await keeps(officer, 0);
  assert.equal(await officer.field(/^What is to be done/).inputValue(), "");
  await officer.write(/^What is to be done/, "Sluice, upper gate");
  await keeps(officer, 1);
  await officer.press("Sign out");
  await officer.signIn(scene.people.officer);
  assert.equal(await begun(officer), 0, "on a device that others use nothing stays");
});

walk("a length far from the record is asked about at the bench", [WAYS.phoneDark], "demo", async (scene) => {
  const officer = await scene.person("officer");
  await officer.open("/bench?kind=rope&look=periodic");
  await onThisDevice(officer);
  await scans(officer, "BR-01");
  const row = officer.page.locator('[data-criterion="length"]');
  const above = Number(await row.getAttribute("data-above"));
  const far = String(Math.ceil(above) + 10);
  await row.locator(".trio input").fill(far);
  const box = row.locator("[data-confirm] input");
  await box.waitFor();
  await officer.page.locator("#sheet").focus();
  await officer.page.keyboard.press("f");
  await officer.reads(`Is it really ${far} m? The record says `);
  await officer.looks();
  await officer.picture(`length asked, ${scene.way.name}`);
  assert.equal((await examinations(officer, "BR-01"))[0].answers.some((answer) => answer.confirmed === true), false);
  await box.check();
  // What is confirmed is just what was typed.
  await row.locator(".trio input").fill(`${far}1`);
  assert.equal(await box.isChecked(), false);
  await row.locator(".trio input").fill(far);
  await box.check();
  await presses(officer, "f", "BR-01: fit.");
  await everythingIsSent(officer);
  const [last] = await examinations(officer, "BR-01");
  assert.equal(last.answers.find((answer) => answer.criterion === "length").confirmed, true);
});
