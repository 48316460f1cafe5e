// The bench: a tray of forty, with scanner and keys; a closed tab, no line, an ended sign-in, somebody else's sign-in.
import assert from "node:assert/strict";
import { everythingIsSent, examinations, measures, onThisDevice, opened, presses, scans } from "../harness/bench.js";
import { WAYS } from "../harness/browser.js";
import { walk } from "../harness/walk.js";

const TRAY = 40;
/** As long as a hand takes at least between two keys: longer than a scanner, so that a key stands alone. */
const HAND_MS = 250;
const LIST = "/bench?kind=connector";

walk("forty things are examined one after another", [WAYS.deskLight, WAYS.phoneDark], "demo", async (scene) => {
  const officer = await scene.person("officer");
  await officer.open(LIST);
  const connectors = await officer.rows("Items of the list");
  await officer.open("/bench?state=in-service");
  await onThisDevice(officer);
  const all = await officer.rows("Items of the list");
  // Connectors first, then what else there is.
  const tray = [...all].sort((a, b) => connectors.includes(b) - connectors.includes(a)).slice(0, TRAY);
  assert.ok(tray.length === TRAY && connectors.includes(tray[7]), "the demo has a tray of gear, connectors among it");
  await officer.looks();
  const began = Date.now();
  for (const [at, mark] of tray.entries()) {
    await scans(officer, mark);
    if (at === 0) await officer.looks();
    await measures(officer);
    if (at === 7) await findsBad(officer, mark);
    else await presses(officer, "f", `${mark}: fit.`);
  }
  assert.ok(Date.now() - began < 180_000, "a tray takes minutes");
  await officer.reads(`${TRAY} of`);
  await officer.picture(`bench, ${scene.way.name}`);
  await everythingIsSent(officer);
  for (const [at, mark] of tray.entries()) {
    assert.deepEqual(await today(officer, mark), [at === 7 ? "quarantine" : "fit"], mark);
  }
  await officer.looks();
});

walk("keys are off where somebody wants them off, and a scan anywhere is a scan", [WAYS.deskDark], "demo", async (scene) => {
  const officer = await scene.person("officer");
  await officer.open(LIST);
  await onThisDevice(officer);
  const [first, second] = await officer.rows("Items of the list");
  await scans(officer, first);
  // The cursor is in the sheet now; a scanner types the next code there, and no letter of it is a verdict.
  await officer.page.keyboard.type(second);
  await officer.page.keyboard.press("Enter");
  await opened(officer, second);
  await officer.page.locator("[data-sitting] summary").click();
  await officer.page.getByLabel(/single key/).uncheck();
  await officer.page.locator("#sheet").focus();
  await officer.page.keyboard.press("f");
  await officer.page.waitForTimeout(2 * HAND_MS);
  assert.deepEqual(await today(officer, second), []);
  await officer.looks();
  await officer.page.keyboard.press("Escape");
  assert.equal(await officer.page.evaluate(() => document.activeElement.name), "code");
});

walk("what was answered for one is taken over to the next of its list, each in its own record", [WAYS.deskLight], "demo", async (scene) => {
  const officer = await scene.person("officer");
  await officer.open(LIST);
  await onThisDevice(officer);
  const marks = (await officer.rows("Items of the list")).slice(0, 2);
  await scans(officer, marks[0]);
  const lock = officer.page.locator('[data-criterion="lock"]');
  await lock.getByLabel("not applicable").check();
  await lock.getByLabel("What you saw").fill("has no lock");
  await presses(officer, "f", `${marks[0]}: fit.`);
  await scans(officer, marks[1]);
  await officer.page.keyboard.press("s");
  await officer.page.waitForFunction(() => document.activeElement?.value === "fit");
  assert.equal(await lock.getByLabel("What you saw").inputValue(), "has no lock");
  await officer.looks();
  await presses(officer, "f", `${marks[1]}: fit.`);
  await everythingIsSent(officer);
  const ids = [];
  for (const mark of marks) {
    const [last] = await examinations(officer, mark);
    ids.push(last.id);
    assert.equal(last.answers.find((answer) => answer.criterion === "lock").note, "has no lock", mark);
  }
  assert.notEqual(ids[0], ids[1]);
});

walk("what was begun survives a closed tab and an ended sign-in", [WAYS.phoneLight], "demo", async (scene) => {
  const officer = await scene.person("officer");
  await officer.open(LIST);
  await onThisDevice(officer);
  const [mark] = await officer.rows("Items of the list");
  await scans(officer, mark);
  const first = officer.page.locator("[data-criterion]").first();
  await first.getByLabel("watch").check();
  await first.getByLabel("What you saw").fill("a scratch");
  await officer.newTab();
  await officer.open("/bench");
  await officer.page.getByRole("button", { name: mark, exact: true }).click();
  await opened(officer, mark);
  await officer.reads("is here again");
  assert.equal(await officer.page.locator("[data-criterion]").first().getByLabel("What you saw").inputValue(), "a scratch");
  await officer.looks();
  await officer.losesSignIn();
  officer.expects(401);
  await presses(officer, "f", `${mark}: fit.`);
  await officer.page.getByText("Your sign-in has ended").waitFor();
  await officer.follow("Sign in", { within: officer.page.getByRole("main") });
  await officer.write("Sign-in name", scene.people.officer.name);
  await officer.write("Password", scene.people.officer.password);
  await officer.press("Sign in");
  await everythingIsSent(officer);
  assert.deepEqual(await today(officer, mark), ["fit"]);
});

walk("without a line the bench goes on, and a conflict is told", [WAYS.phoneDark], "demo", async (scene) => {
  const crew = await scene.person("crew");
  await crew.open(LIST);
  await onThisDevice(crew);
  const [fine, changed, gone] = await crew.rows("Items of the list");
  await crew.line(false);
  await crew.newTab();
  await crew.page.goto(`${scene.server.origin}/bench`);
  await crew.page.getByRole("table", { name: "Items of the list" }).waitFor();
  for (const mark of [fine, changed, gone]) {
    await scans(crew, mark);
    await presses(crew, "f", `${mark}: fit.`);
  }
  await crew.page.getByText("3 records wait to be sent").waitFor();
  await crew.looks();
  await crew.picture("bench without a line");
  const officer = await scene.person("officer");
  await steps(officer, changed, "Put in quarantine", "The gate sticks.");
  await steps(officer, gone, "Retire for good", "It was run over.");
  crew.expects(422, 409);
  await crew.line(true);
  await crew.page.getByText(`${changed}: fit: not taken.`).waitFor();
  await crew.page.getByText(`${gone}: fit: not taken.`).waitFor();
  await crew.reads("The gate sticks.");
  await crew.looks();
  assert.deepEqual(await today(officer, fine), ["fit"]);
  assert.deepEqual(await today(officer, changed), []);
  // One is looked at again and held back, the other is thrown away by somebody, not by itself.
  const line = (mark) => crew.page.getByRole("listitem").filter({ hasText: `${mark}: fit: not taken.` });
  await line(changed).getByRole("link", { name: "Look at it again" }).click();
  await opened(crew, changed);
  await crew.reads("quarantined");
  await crew.page.getByText("Findings, markings, next due").click();
  await crew.write("Findings", "Sticks here too.");
  await presses(crew, "q", `${changed}: to quarantine.`);
  crew.page.once("dialog", (dialog) => dialog.accept());
  await line(gone).getByRole("button", { name: /Discard/ }).click();
  await line(gone).waitFor({ state: "detached" });
  await everythingIsSent(crew);
  assert.deepEqual(await today(officer, changed), ["quarantine"]);
});

walk("nobody sees or sends what somebody else has kept", [WAYS.deskLight], "demo", async (scene) => {
  const crew = await scene.person("crew");
  await crew.open(LIST);
  await onThisDevice(crew);
  const [mark] = await crew.rows("Items of the list");
  await crew.line(false);
  await scans(crew, mark);
  await presses(crew, "f", `${mark}: fit.`);
  await crew.page.getByText("1 record waits to be sent").waitFor();
  // Signing out has a line, the record has none.
  await crew.page.route("**/api/v1/**", (route) => route.abort());
  await crew.line(true);
  await crew.page.getByRole("button", { name: "Sign out" }).click();
  await crew.page.getByRole("dialog").waitFor();
  await crew.looks();
  await crew.press("Sign out and keep them");
  await crew.page.unroute("**/api/v1/**");
  await crew.until(async () => !(await caches.match("/bench")));
  assert.deepEqual(await crew.page.evaluate(takenAlong), [0, 0, 0], "nothing that was taken along stays");
  await crew.reads("1 record of Jory Pellan waits on this device and is not recorded yet: Jory Pellan signs in here to send it.");
  await crew.picture(`somebody else's record waits, ${crew.way.name}`);
  await crew.signIn(scene.people.officer);
  await crew.reads("1 record of Jory Pellan waits on this device");
  await crew.open("/bench");
  await crew.reads("1 record of Jory Pellan waits on this device");
  await crew.readsNot(mark);
  await crew.readsNot("to be sent");
  assert.deepEqual(await today(crew, mark), []);
  await crew.press("Sign out");
  await crew.signIn(scene.people.crew);
  await everythingIsSent(crew);
  await crew.open("/");
  await crew.readsNot("waits on this device");
  assert.deepEqual(await today(crew, mark), ["fit"]);
});

walk("a tray goes through plain forms", [WAYS.deskLightPlain, WAYS.smallDarkPlain], "demo", async (scene) => {
  const officer = await scene.person("officer");
  await officer.section("Bench");
  await officer.choose("Kind of gear", "connector");
  await officer.press("Show the list");
  const [first, second] = await officer.rows("Items of the list");
  await officer.write("Code, mark or serial", first);
  await officer.press("Open");
  await officer.press("Fit, the rest passes");
  await officer.reads(`${first}: Periodic examination recorded: fit`);
  await officer.reads("1 of");
  await officer.follow(second);
  await officer.press("Quarantine", { status: 422 });
  assert.ok(await officer.field("Findings").isVisible(), "what is wrong stands open");
  await officer.reads("an item is not taken out of use without it");
  await officer.write("Findings", "The gate does not shut.");
  await officer.press("Quarantine");
  await officer.reads(`${second}: Periodic examination recorded: it is in quarantine now`);
  assert.deepEqual(await today(officer, second), ["quarantine"]);
});

/** How much is kept of what was taken along, whoever did; asked in the page. */
async function takenAlong() {
  const answer = (asked) => new Promise((done) => (asked.onsuccess = () => done(asked.result)));
  const database = await answer(indexedDB.open("ropeloft", 1));
  const counts = ["sheets", "lists", "done"].map((name) => answer(database.transaction(name).objectStore(name).count()));
  return Promise.all(counts);
}

async function findsBad(officer, mark) {
  const gate = officer.page.locator('[data-criterion="gate"]');
  await gate.getByLabel("fail").check();
  await officer.reads("Choose quarantine, or retire it.");
  await officer.page.locator("#sheet").focus();
  await officer.page.keyboard.press("q");
  await officer.page.locator("[data-complained]").getByText("write what you saw, and where").waitFor();
  await officer.looks();
  await gate.getByLabel("What you saw").fill("does not shut");
  await presses(officer, "q", `${mark}: to quarantine.`);
}

/** The verdicts of the last two days on the item with this mark. */
async function today(visitor, mark) {
  const since = new Date(Date.now() - 86_400_000).toISOString().slice(0, 10);
  const all = await examinations(visitor, mark);
  return all.filter((one) => one.on >= since).map((one) => one.verdict);
}

async function steps(officer, mark, step, reason) {
  await officer.open(`/scan?code=${encodeURIComponent(mark)}`);
  await officer.follow(step);
  await officer.write("Reason", reason);
  await officer.press(step);
}
