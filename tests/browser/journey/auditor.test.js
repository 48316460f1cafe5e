// The auditor: reads everything, takes it away, checks it without the program, and can change nothing.
import assert from "node:assert/strict";
import { WAYS } from "../harness/browser.js";
import { records } from "../harness/csv.js";
import { root } from "../harness/tree.js";
import { walk } from "../harness/walk.js";

walk("the auditor reads the history and takes it away", [WAYS.deskLight, WAYS.phoneDarkPlain], "demo", async (scene) => {
  const auditor = await scene.person("auditor");
  await readsTheTeams(auditor);
  await takesTheRecord(auditor);
  await takesTheItems(auditor);
  await readsThatOfAnItem(auditor);
  await readsThatOfAJob(auditor);
  await asksTheRecord(auditor);
  await looksAtADay(auditor);
});

walk("the auditor can change nothing", [WAYS.deskDark, WAYS.phoneLightPlain], "demo", async (scene) => {
  const auditor = await scene.person("auditor");
  await auditor.section("Items");
  await auditor.readsNot("Add item");
  await auditor.follow(/^HR-01/);
  const item = new URL(auditor.page.url()).pathname;
  for (const offered of ["Record examination", "Put in quarantine", "Retire for good", "Change record"]) {
    await auditor.readsNot(offered);
  }
  for (const page of ["/items/new", "/jobs/new", "/import", `${item}/edit`, `${item}/examinations/new`]) {
    await auditor.open(page, { status: 403 });
  }
  for (const [path, form] of [
    ["/stores", { name: "A store of mine" }],
    [`${item}/step`, { step: "retire", reason: "Because" }],
    [`${item}/events`, { kind: "drop", on: "2026-01-01", note: "Fell" }],
    ["/jobs", { title: "A job of mine" }],
  ]) {
    assert.equal(await auditor.sends(path, form), 403, path);
  }
  await auditor.open(item);
  await auditor.readsNot("retired since");
});

async function readsTheTeams(auditor) {
  await auditor.section("History");
  await auditor.picture(`history, ${auditor.way.name}`);
  await auditor.follow("Next page");
  await auditor.narrow("What", "Item refused for a job", "Show");
  await auditor.reads(/refused/);
}

/** Every entry is in the file, in order, and the file proves itself: its last root is the one that the page shows. */
async function takesTheRecord(auditor) {
  await auditor.section("History");
  const entries = Number((await auditor.heading(/record has [\d,]+ entries/)).match(/[\d,]+/)[0].replaceAll(",", ""));
  const { name, text } = await auditor.takeAs("Take it along", "CSV");
  assert.match(name, /^ropeloft-.*\.csv$/);
  const lines = records(text);
  assert.equal(lines.length, entries);
  // The file may begin with either end; the tree begins with the oldest.
  lines.sort((one, other) => one.seq - other.seq);
  const leaves = lines.map((line) => line.leaf_hash);
  const last = lines.at(-1);
  assert.equal(root(leaves), last.root);
  assert.equal(root(leaves.slice(0, 100)), lines[99].root);
  await auditor.reads(last.root);
  for (const line of lines) {
    for (const [heading, text] of Object.entries(line)) {
      assert.doesNotMatch(text, /^[=+\-@\t\r]/, `a spreadsheet would run ${heading} of entry ${line.seq}`);
    }
  }
}

async function takesTheItems(auditor) {
  const { text } = await auditor.takeAs("Items", "CSV");
  const items = records(text);
  assert.equal(Number(items.at(-1).end), items.length, "the file says whether it is whole");
  const { text: lines } = await auditor.takeAs("Models", "JSON Lines");
  const models = lines.trimEnd().split("\n").map((line) => JSON.parse(line));
  assert.deepEqual(models.pop().end.rows, models.length);
  assert.ok(items.length > 150, `${items.length} items`);
  const rope = items.find((item) => item.mark === "HR-01");
  assert.equal(rope.kind, "rope");
}

async function readsThatOfAnItem(auditor) {
  await auditor.open("/items?q=HR-01");
  await auditor.follow("HR-01");
  await auditor.follow("Whole history");
  await auditor.reads("History of HR-01");
  const { text } = await auditor.takeAs("Take it along", "CSV");
  assert.ok(records(text).length > 2);
}

/** The answer stands first, and the file has as many rows as it says. */
async function asksTheRecord(auditor) {
  await auditor.section("History");
  await auditor.follow("Questions");
  await auditor.follow("Gaps in the record");
  await auditor.picture(`gaps in the record, ${auditor.way.name}`);
  await auditor.answer(/^(\d+ gaps?|No gap)/);
  await auditor.follow("Questions");
  await auditor.follow("Not in date on a day");
  await auditor.write("On", "2025-06-30");
  await auditor.press("Ask");
  await auditor.answer(/\d+ of \d+ items that were in service had no valid examination on 2025-06-30/);
  const { name, text } = await auditor.takeAs("Take it along", "CSV");
  assert.match(name, /^ropeloft-not-in-date-.*\.csv$/);
  await auditor.reads(new RegExp(`${records(text).length} of \\d+ items`));
}

/** What was known that night stands beside what is known now. */
async function looksAtADay(auditor) {
  await auditor.open("/items?q=HR-01");
  await auditor.follow("HR-01");
  await auditor.follow("As it was on a day");
  await auditor.write("On", "2025-06-30");
  await auditor.press("Look at that day");
  await auditor.picture(`an item as it was, ${auditor.way.name}`);
  await auditor.answer(/^On 2025-06-30 HR-01 was/);
  await auditor.reads("As it was known then");
}

async function readsThatOfAJob(auditor) {
  await auditor.section("Jobs");
  await auditor.follow("Non-return valve, pump well 3");
  await auditor.follow("History", { within: auditor.page.getByRole("navigation", { name: "Job" }) });
  await auditor.reads("History of Non-return valve, pump well 3");
}
