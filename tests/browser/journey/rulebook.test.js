// The officer reads the team's rulebook in its versions, adds another, is asked for a reason, and withdraws it again.
import assert from "node:assert/strict";
import { WAYS } from "../harness/browser.js";
import { walk } from "../harness/walk.js";

/** Nothing on a page of words is taller: a drawing that lost its size would be. */
const TALLEST_SHAPE = 48;

walk(
  "the officer keeps a rulebook of the team's own",
  [WAYS.deskLight, WAYS.phoneDarkPlain],
  "demo",
  async (scene) => {
    const officer = await scene.person("officer");
    await readsVersions(officer);
    await addsAnother(officer);
    await withdrawsIt(officer);
    await takesItUpAgain(officer);
  },
);

async function readsVersions(officer) {
  await officer.section("Rulebooks");
  await officer.reads("your team works by it");
  await officer.follow("Ostrevane standing orders");
  await officer.reads("looser than European standards (EN), for rope rescue and rope work (12 years instead of 10 years)");
  await officer.reads("Months between examinations: fall-protection gear: 9 months instead of 12 months");
  const shapes = await officer.page.locator(".shape").evaluateAll((all) => all.map((one) => one.clientHeight));
  assert.ok(Math.max(...shapes) <= TALLEST_SHAPE, `a shape is ${Math.max(...shapes)} px tall`);
  await officer.picture(`rulebook, ${officer.way.name}`);
  await officer.follow("Version 1");
  await officer.reads("version 1 of 2");
  await officer.readsNot("looser than");
}

async function addsAnother(officer) {
  await officer.section("Rulebooks");
  await officer.follow("Add a rulebook of your own");
  await officer.follow("Start from European standards (EN), for rope rescue and rope work");
  await officer.write("Key", "valley");
  await officer.write("Title", "Valley exercise");
  const factor = officer.group("Factor on breaking strength");
  await officer.write("Number", "8", factor);
  await officer.press("Add rulebook", { status: 422 });
  await officer.reads("8 instead of 10", factor);
  await officer.write("Reason where it asks less", "every part is proof-tested", factor);
  await officer.press("Add rulebook");
  await officer.reads("The rulebook Valley exercise is added");
  await officer.reads("reason: every part is proof-tested");
}

async function withdrawsIt(officer) {
  await officer.press("Withdraw this rulebook", { status: 422 });
  await officer.write("Why", "the exercise is over");
  await officer.press("Withdraw this rulebook");
  await officer.reads("withdrawn: no new job may name it");
  await officer.open("/jobs/new");
  const offered = await officer.field("Rulebook").getByRole("option").allInnerTexts();
  assert.ok(!offered.some((line) => line.includes("Valley exercise")), offered.join(" | "));
}

async function takesItUpAgain(officer) {
  await officer.open("/rulebooks/valley");
  await officer.write("Why", "it is held again next year");
  await officer.press("Take this rulebook up again");
  await officer.reads("Jobs can be planned under the rulebook again.");
  await officer.open("/jobs/new");
  await officer.choose("Rulebook", "Valley exercise (own, version 1)");
}
