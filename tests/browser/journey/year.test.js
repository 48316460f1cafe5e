// A year of the equipment officer: a list is brought in, a month's round is planned and done at the bench, one thing is
// found bad, a notice is answered, a rope is cut, and what is new gets its labels.
import assert from "node:assert/strict";
import { WAYS } from "../harness/browser.js";
import { bringIn } from "../harness/inventory.js";
import { walk } from "../harness/walk.js";

/** The connectors of the list that is brought in. */
const CRABS = "Ostrander Oval";
const CUT = "P1005";
const RECALLED = "P1010";

walk("a year of the equipment officer", [WAYS.deskLight], "demo", async (scene) => {
  const officer = await scene.person("officer");
  await officer.open("/import");
  await bringIn(officer);
  await officer.press("Take in 200 items");
  const round = await plansTheRound(officer);
  const bad = await examines(officer, round);
  await readsWhatBecameOfIt(officer, round, bad);
  await answersANotice(officer);
  const pieces = await cutsARope(officer);
  await printsLabels(officer, pieces);
  await officer.section("History");
  await officer.reads(`${CUT}`);
});

async function plansTheRound(officer) {
  await officer.open(`/rounds/new?q=${encodeURIComponent(CRABS)}`);
  await officer.write("Name", "");
  await officer.press("Plan the round", { status: 422 });
  await officer.write("Name", "Connectors of March");
  await officer.press("Plan the round");
  await officer.reads("The round is planned.");
  return new URL(officer.page.url()).pathname;
}

async function examines(officer, round) {
  await officer.open(round);
  await officer.follow("Examine one after the other");
  await officer.page.getByText(/on this device as of/).waitFor();
  const tray = await officer.rows("Items of the list");
  assert.equal(tray.length, 40);
  const bad = tray[12];
  for (const mark of tray) {
    await officer.field("Code, mark or serial").fill(mark);
    await officer.page.keyboard.press("Enter");
    await officer.page.locator(`[data-mark="${mark}"]`).waitFor();
    await officer.page.waitForFunction(() => document.activeElement?.id === "sheet");
    if (mark === bad) await findsACrack(officer);
    await officer.page.keyboard.press(mark === bad ? "q" : "f");
    const said = mark === bad ? "to quarantine" : "fit";
    await officer.page.locator("[data-said]").getByText(`${mark}: ${said}.`, { exact: true }).waitFor();
  }
  await officer.until(async () => (await globalThis.ropeloft.queue.entries()).length === 0);
  await officer.reads("40 of 40 items looked at.");
  await officer.looks();
  return bad;
}

async function findsACrack(officer) {
  const edges = officer.page.locator('[data-criterion="gate"]');
  await edges.getByLabel("fail").check();
  await edges.getByLabel("What you saw").fill("hangs open");
  await officer.page.locator("#sheet").focus();
}

async function readsWhatBecameOfIt(officer, round, bad) {
  await officer.open(round);
  await officer.press("Close the round");
  await officer.reads("The round is closed.");
  await officer.open(`/scan?code=${bad}`);
  await officer.answer("in quarantine");
  await officer.reads("hangs open");
}

async function answersANotice(officer) {
  await officer.section("Notices");
  await officer.follow(/notice/i, { within: officer.page.locator("main .head") });
  await officer.write("What it is about", "A sheath that may slip");
  await officer.write("Issued by", "Fennimark");
  await officer.write("Day issued", new Date().toISOString().slice(0, 10));
  await officer.write("Maker", "Fennimark");
  await officer.write("Model", "Longline 11");
  await officer.write("Serials", "SN/7030");
  await officer.write("What is to be done", "Slide the sheath by hand over the whole length.");
  await officer.press("Open it and quarantine what it covers");
  await officer.reads(RECALLED);
  await officer.write("Result for this item", "Slid over its whole length: nothing slips.");
  await officer.press(`Close for ${RECALLED}`);
  await officer.reads("nothing slips");
}

async function cutsARope(officer) {
  await officer.open(`/scan?code=${CUT}`);
  await officer.follow(/^Cut/);
  await officer.write("Its mark", `${CUT}-A`, officer.group("Piece 1"));
  await officer.write("Its length", "30 m", officer.group("Piece 1"));
  await officer.write("Its mark", `${CUT}-B`, officer.group("Piece 2"));
  await officer.write("Its length", "40 m", officer.group("Piece 2"));
  if (officer.way.javaScript) await officer.reads("Of 60.5 m: 70 m in pieces, 9.5 m too much.");
  await officer.press("Cut it", { status: 422 });
  await officer.write("Its length", "30 m", officer.group("Piece 2"));
  if (officer.way.javaScript) await officer.reads("Of 60.5 m: 60 m in pieces, 0.5 m not accounted for.");
  await officer.press("Cut it", { status: 422 });
  await officer.reads("Say what became of the 0.5 m");
  await officer.picture(`a cut that leaves something over, ${officer.way.name}`);
  await officer.tick("Thrown away too");
  await officer.tick(/ends of every piece are marked/);
  await officer.write("Why", "Worn in the middle.");
  await officer.press("Cut it");
  return [`${CUT}-A`, `${CUT}-B`];
}

async function printsLabels(officer, marks) {
  await officer.section("Papers");
  await officer.follow(/^Labels|labels/, { within: officer.page.getByRole("main") });
  await officer.write("Marks of the items", marks.join("\n"));
  const form = await officer.page.locator('form[method="post"][action="/labels"]').evaluate((one) => Object.fromEntries(new FormData(one)));
  assert.equal(await officer.sends("/labels", form), 200);
  await officer.open(`/scan?code=${marks[0]}`);
  await officer.reads("Ropeloft's own");
}
