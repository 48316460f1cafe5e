// The officer writes a rig of the team's own, from one that comes with the program, and a job is planned with it.
import assert from "node:assert/strict";
import { WAYS } from "../harness/browser.js";
import { walk } from "../harness/walk.js";

walk(
  "the officer writes a rig, is told what is wrong at its place, and plans a job with it",
  [WAYS.deskLight, WAYS.phoneDarkPlain],
  "demo",
  async (scene) => {
    const officer = await scene.person("officer");
    await officer.section("Rigs");
    await officer.follow("3:1 on the main line, pulled up");
    const { text } = await officer.take("Take away as TOML");
    assert.match(text, /^key = "three-to-one"/);
    await officer.follow("Start a new one from it");
    await startsAnew(officer);
    await isToldWhatIsWrong(officer);
    await movesRows(officer);
    await saves(officer);
    await writesAsText(officer);
    await plansAJob(officer);
  },
);

/** What the rig comes to. */
const look = (officer) => officer.page.getByRole("region", { name: "What it comes to" });

async function startsAnew(officer) {
  await officer.reads("1 strand at the load, 3 : 1", look(officer));
  await officer.write("What it is called", "Well lift 3:1");
  await officer.write("Key", "well-lift", officer.group("The rig"));
  await officer.picture(`rig editor, ${officer.way.name}`);
}

async function isToldWhatIsWrong(officer) {
  const pulley = officer.group(/^Position 2: /);
  await officer.write("Kinds of item", "pulley, string", pulley);
  if (officer.way.javaScript) {
    await look(officer).getByText("No rig yet: 1 thing to mend").waitFor();
    assert.equal(await officer.field("Kinds of item", pulley).getAttribute("aria-invalid"), "true");
  }
  await officer.press("Add this rig", { status: 422 });
  await officer.reads('there is no kind of item "string"', pulley);
  assert.equal(await officer.field("What it is called").inputValue(), "Well lift 3:1", "nothing typed is lost");
  await officer.write("Kinds of item", "pulley", pulley);
  if (officer.way.javaScript) await look(officer).getByText("1 strand at the load, 3 : 1").waitFor();
}

async function movesRows(officer) {
  // What few change first is folded away, each part below its name.
  await officer.page.locator("summary", { hasText: /^Ropes: / }).click();
  await officer.press("Add thing met");
  await officer.reads("No rig yet", look(officer));
  await officer.press("Remove: thing met 5");
  await officer.reads("1 strand at the load, 3 : 1", look(officer));
  await officer.group(/^Position 1: /).locator("summary").click();
  await officer.press("Down: position 1");
  assert.equal(await officer.field("What goes here", officer.group(/^Position 2: /)).inputValue(), "Main rope");
}

async function saves(officer) {
  await officer.write("What is new, and why", "first written for the pump well");
  await officer.press("Add this rig");
  await officer.reads('The rig "Well lift 3:1" is there');
  await officer.reads("first written for the pump well");
}

async function writesAsText(officer) {
  await officer.follow("Change");
  await officer.press("As text");
  const text = await officer.field("The sheet as text, TOML or JSON").inputValue();
  await officer.write("The sheet as text, TOML or JSON", text.replace('knot = "figure-eight"', 'knot = "granny"'));
  await officer.press("Look");
  await officer.reads(/line \d+, column \d+: rope rope, element 5: there is no knot "granny"/, look(officer));
  await officer.picture(`rig as text, ${officer.way.name}`);
  await officer.write("The sheet as text, TOML or JSON", text.replace('knot = "figure-eight"', 'knot = "bowline"'));
  await officer.press("Save as a new version");
  await officer.reads("Version 2 is saved");
}

async function plansAJob(officer) {
  await officer.section("Jobs");
  await officer.follow("Plan a job");
  await officer.choose("Rig", "Well lift 3:1 (own, version 2; without a belay)");
}
