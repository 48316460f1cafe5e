// The crew's lead rigger: plans a confined-space job, pulls a kit, is refused what must be refused, reads the verdict.
import assert from "node:assert/strict";
import { WAYS } from "../harness/browser.js";
import { walk } from "../harness/walk.js";

const RIG = "4:1 haul and lower set, pulled down";

/** What goes where, by the words of the rig's positions; the marks are of the demo's vehicle 2. */
const KIT = [
  ["Hauling rope", /^HR-/],
  ["Head double pulley with progress capture", /^PC-/],
  ["Double pulley at the load", /^PD-/],
  ["Anchor or tripod head", /^TP-/, "tripod"],
  ["Connector of the head pulley", /^KS-/],
  ["Connector at the load", /^KS-/],
  ["Swivel at the load", /^SV-/],
  ["Harness or litter", /^H/],
];

walk("the crew plans a job, fills the 4:1 and reads the verdict", [WAYS.phoneDark, WAYS.deskLightPlain], "demo", async (scene) => {
  const crew = await scene.person("crew");
  await plans(crew);
  await isRefused(crew);
  await fillsEveryPosition(crew);
  await readsTheVerdict(crew);
});

walk("what one job holds no other takes", [WAYS.deskDark, WAYS.phoneLightPlain], "demo", async (scene) => {
  const crew = await scene.person("crew");
  await plans(crew, { title: "First of two" });
  await crew.follow("Choose: Hauling rope");
  const mark = await putsOnTheFirst(crew, /^HR-/);
  const other = await scene.person("officer");
  await plans(other, { title: "Second of two" });
  await other.write("Mark of the item", mark);
  await other.choose("Position", "Hauling rope");
  await other.press("Put it on", { status: 409 });
  await other.reads("First of two");
});

async function plans(crew, { title = "Grille cleared in the screen chamber" } = {}) {
  await crew.section("Jobs");
  await crew.follow("Plan a job");
  await crew.write("What is to be done", title);
  await crew.choose("Rig", RIG);
  await crew.write("Load", "heavy");
  await crew.write("Depth", "15 m");
  await crew.press("Plan the job", { status: 422 });
  assert.equal(await crew.field("What is to be done").inputValue(), title, "nothing typed is lost");
  await crew.write("Where", "North works, screen chamber 2");
  await crew.write("From (UTC)", `${daysFromToday(3)}T07:00`);
  await crew.write("Until (UTC)", `${daysFromToday(3)}T16:00`);
  await crew.write("Load", "120 kg");
  await crew.press("Plan the job");
  await crew.reads("The job is planned. Now choose its kit.");
}

/** A carabiner that is retired, of the wrong kind for the place and never looked at is told all of it at once. */
async function isRefused(crew) {
  const job = new URL(crew.page.url()).pathname;
  await crew.open("/items?state=retired");
  const [retired] = await crew.rows("Items");
  await crew.open(job);
  await crew.write("Mark of the item", retired);
  await crew.choose("Position", "Hauling rope");
  await crew.press("Put it on", { status: 409 });
  await crew.answer(/refused: \d+ reasons/);
  await crew.reads(/retired/i);
  await crew.picture(`refused, ${crew.way.name}`);
  await crew.open(job);
}

async function fillsEveryPosition(crew) {
  const taken = new Set();
  for (const [position, marks, kind] of KIT) {
    await crew.follow(`Choose: ${position}`);
    if (kind) await crew.narrow("Kind", kind);
    taken.add(await putsOnTheFirst(crew, marks, taken));
  }
  await crew.picture(`job, ${crew.way.name}`);
}

/** Puts on the first item offered whose mark is such. */
async function putsOnTheFirst(crew, marks, taken = new Set()) {
  const names = await crew.page.getByRole("button", { name: /^Put it on: / }).evaluateAll((buttons) =>
    buttons.map((button) => button.getAttribute("aria-label")),
  );
  const offered = names.map((name) => name.replace("Put it on: ", ""));
  const mark = offered.find((one) => marks.test(one) && !taken.has(one));
  assert.ok(mark, `none like ${marks} among ${offered.join(", ")}`);
  await crew.press(`Put it on: ${mark}`);
  await crew.reads("The item is on the list.");
  return mark;
}

async function readsTheVerdict(crew) {
  await crew.follow(/verdict/i, { within: crew.page.getByRole("navigation", { name: "Job" }) });
  await crew.answer(/weakest link.*factor of \d+(\.\d+)?|factor/i);
  await crew.reads("while hauling");
  await crew.reads("What this does not tell you");
  await crew.picture(`verdict, ${crew.way.name}`);
  await crew.press("Keep the verdict");
  await crew.reads("The verdict is kept in the job's history.");
}

function daysFromToday(days) {
  return new Date(Date.now() + days * 86_400_000).toISOString().slice(0, 10);
}
