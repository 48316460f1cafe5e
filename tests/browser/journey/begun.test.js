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
const keeps = (visitor, count) =>
  visitor.until(async (count) => {
    const drafts = await globalThis.ropeloft.kept.all("drafts");
    return drafts.filter((draft) => draft.form).length === count;
  }, count);

/** Waits until the page has looked for what was begun, and found nothing. */
const findsNothing = async (visitor) => {
  await visitor.page.waitForLoadState("networkidle");
  await visitor.readsNot("What you had begun");
};

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
  await findsNothing(officer);
  assert.equal(await officer.field(/^Findings/).inputValue(), "");
});

walk("what a press marks is kept too, and the short list has what was begun of its own", [WAYS.deskLight], "demo", async (scene) => {
  const officer = await scene.person("officer");
  const form = `${await pageOf(officer, "BR-01")}/examinations/new`;
  const passed = () => officer.page.locator('input[value="pass"]:checked').count();
  await officer.open(form);
  await officer.letsTheRestPass();
  await keeps(officer, 1);
  const all = await passed();
  assert.ok(all > 5, `${all} lines pass`);
  await officer.open(form);
  await officer.reads("is here again");
  assert.equal(await passed(), all);
  await officer.open(`${form}?look=quick`);
  await findsNothing(officer);
  await officer.write(/^Findings/, SEEN);
  await keeps(officer, 2);
  await officer.open(form);
  await officer.reads("is here again");
  assert.equal(await passed(), all);
  assert.equal(await officer.field(/^Findings/).inputValue(), "");
  await officer.page.getByRole("button", { name: "Begin anew" }).click();
  await keeps(officer, 1);
  assert.equal(await passed(), 0);
});

/** A planned job that may be changed still, by its address. */
async function jobOf(visitor) {
  const { rows } = await visitor.json("/api/v1/jobs?state=planned");
  return `/jobs/${rows.find((row) => !row.issued).id}`;
}

/** What stands in the form of a plan. */
const planIn = (visitor) => Promise.all(["Depth", "Edge", "Anything else"].map((label) => visitor.field(label).inputValue()));

walk("what was begun of a plan is not written over what somebody else made of it since", [WAYS.deskLight, WAYS.phoneDark], "demo", async (scene) => {
  const [officer, admin] = [await scene.person("officer"), await scene.person("admin")];
  const job = await jobOf(officer);
  const [edit, ladder] = [`${job}/edit`, "Bring the long ladder"];
  const changes = async (depth, edge) => {
    await admin.open(edit);
    await admin.write("Depth", depth);
    await admin.write("Edge", edge);
    await admin.press("Save the plan");
  };
  await officer.open(edit);
  const before = await planIn(officer);
  await officer.write("Anything else", ladder);
  await keeps(officer, 1);
  // As long as the plan is the same, what was typed is there again, and nothing beside.
  await officer.newTab();
  await officer.open(edit);
  await officer.reads("is here again");
  assert.deepEqual(await planIn(officer), [before[0], before[1], ladder]);
  await changes("21 m", "sharp concrete");
  await officer.newTab();
  await officer.open(edit);
  await officer.reads("is not put back, since this has changed meanwhile");
  await officer.reads(`Anything else ${ladder}`);
  assert.deepEqual(await planIn(officer), ["21 m", "sharp concrete", before[2]]);
  await officer.looks();
  await officer.picture(`begun, not put back, ${scene.way.name}`);
  await officer.press("Save the plan");
  await keeps(officer, 0);
  await officer.open(edit);
  assert.deepEqual(await planIn(officer), ["21 m", "sharp concrete", before[2]]);
});

walk("a plan that was refused as an old one is not put into the new one by a reload", [WAYS.deskDark], "demo", async (scene) => {
  const [officer, admin] = [await scene.person("officer"), await scene.person("admin")];
  const job = await jobOf(officer);
  await officer.open(`${job}/edit`);
  await officer.write("Edge", "a beam, rounded");
  await keeps(officer, 1);
  await admin.open(`${job}/edit`);
  await admin.write("Edge", "sharp concrete");
  await admin.press("Save the plan");
  await officer.press("Save the plan", { status: 409 });
  await officer.reads("somebody else saved first");
  assert.equal(await officer.field("Edge").inputValue(), "a beam, rounded");
  await officer.write("Anything else", "typed beside it");
  await keeps(officer, 1);
  await officer.open(`${job}/edit`);
  await officer.reads("is not put back, since this has changed meanwhile");
  await officer.reads("Edge a beam, rounded");
  await officer.reads("Anything else typed beside it");
  assert.equal(await officer.field("Edge").inputValue(), "sharp concrete");
  await officer.page.getByRole("button", { name: "Throw it away" }).click();
  await keeps(officer, 0);
  assert.equal(await officer.field("Edge").inputValue(), "sharp concrete");
  // What is refused for what it says is still what was begun of this version.
  await officer.write("Depth", "deep");
  await officer.press("Save the plan", { status: 422 });
  await officer.write("Anything else", "typed behind it");
  await keeps(officer, 1);
  await officer.open(`${job}/edit`);
  await officer.reads("is here again");
  assert.equal(await officer.field("Depth").inputValue(), "deep");
  assert.equal(await officer.field("Anything else").inputValue(), "typed behind it");
  assert.equal(await officer.field("Edge").inputValue(), "sharp concrete");
});

walk("what somebody types into a page of another one's is kept for neither", [WAYS.phoneLight], "demo", async (scene) => {
  const visitor = await scene.person("crew");
  const form = `${await pageOf(visitor, "BR-01")}/events/new`;
  await visitor.open(form);
  await tells(visitor, "water", "in the sump");
  await visitor.press("Report it");
  await keeps(visitor, 0);
  await visitor.press("Sign out");
  await visitor.signIn(scene.people.officer);
  while (!visitor.page.url().endsWith(form)) await visitor.page.goBack();
  await tells(visitor, "fall-held", "held a fall");
  await visitor.press("Report it", { status: 409 });
  await visitor.reads("by you or by somebody else");
  await visitor.press("Record this too");
  await visitor.reads("held a fall");
  await visitor.press("Sign out");
  await visitor.signIn(scene.people.crew);
  assert.equal(await begun(visitor), 0);
});

/** Says what happened to an item. */
async function tells(visitor, kind, note) {
  await visitor.page.locator('select[name="kind"]').selectOption(kind);
  await visitor.write("What is known of it", note);
}

walk("what was recorded beside what the form had recorded before is not begun any more", [WAYS.phoneLight], "demo", async (scene) => {
  const officer = await scene.person("officer");
  const form = `${await pageOf(officer, "BR-01")}/events/new`;
  await officer.open(form);
  await tells(officer, "water", "in the sump");
  await officer.press("Report it");
  await keeps(officer, 0);
  await officer.page.goBack();
  await tells(officer, "drop", "off the tailboard");
  await officer.press("Report it", { status: 409 });
  await keeps(officer, 1);
  await officer.press("Record this too");
  await keeps(officer, 0);
  await officer.open(form);
  await findsNothing(officer);
  assert.equal(await officer.field("What is known of it").inputValue(), "");
});

walk("what was typed while the sign-in ended is there for the same person, and for nobody else", [WAYS.phoneDark], "demo", async (scene) => {
  const officer = await scene.person("officer");
  const form = `${await pageOf(officer, "BR-01")}/events/new`;
  const signsInAs = async ({ name, password }) => {
    await officer.write("Sign-in name", name);
    await officer.write("Password", password);
    await officer.press("Sign in");
  };
  await officer.open(form);
  await tells(officer, "heat", "200 degrees");
  await keeps(officer, 1);
  officer.expects(401);
  await officer.losesSignIn();
  await officer.press("Report it");
  await officer.reads("what you just sent was not stored");
  await signsInAs(scene.people.admin);
  await officer.readsNot("200 degrees");
  await findsNothing(officer);
  await officer.losesSignIn();
  await officer.open(form);
  await signsInAs(scene.people.officer);
  await officer.reads("is here again");
  assert.equal(await officer.field("What is known of it").inputValue(), "200 degrees");
  await officer.losesSignIn();
  await officer.press("Report it");
  await signsInAs(scene.people.officer);
  await officer.reads("is here again");
  assert.equal(await officer.field("What is known of it").inputValue(), "200 degrees");
  await officer.looks();
  await officer.picture(`begun, signed in again, ${scene.way.name}`);
  await officer.press("Report it");
  await keeps(officer, 0);
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
