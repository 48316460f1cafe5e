// Two crews at once: both are proposed the same kit for the same morning; one gets it, the other is told and takes another.
import assert from "node:assert/strict";
import { WAYS } from "../harness/browser.js";
import { bringsBackWhatIsOut } from "../harness/out.js";
import { walk } from "../harness/walk.js";

const TAKE = "Put what is ticked on the kit list";

walk("two crews reach for one kit and issue two", [WAYS.deskLight, WAYS.phoneDarkPlain], "demo", async (scene) => {
  const [north, south] = [await scene.person("crew"), await scene.person("officer")];
  await bringsBackWhatIsOut(south);
  const jobs = [await plans(north, "North shaft"), await plans(south, "South shaft")];
  await Promise.all([north, south].map((one) => one.follow("Propose a kit")));
  const [wanted, same] = [await picks(north), await picks(south)];
  assert.deepEqual(wanted, same, "both are shown the same items");
  await north.press(TAKE);
  await north.reads(/items are on the kit list/);
  // The other one's page is old by now: nothing of it is put on, every reason is told, and another kit is proposed.
  await south.press(TAKE, { status: 409 });
  await south.reads("What was proposed before and may not go any more");
  await south.reads("North shaft");
  await south.picture(`taken by another crew, ${south.way.name}`);
  assert.deepEqual((await south.json(`/api/v1${jobs[1]}`)).kit, [], "nothing was put on by halves");
  const other = await picks(south);
  assert.ok(other.every((mark) => !wanted.includes(mark)), `${other.join(", ")} beside ${wanted.join(", ")}`);
  await south.press(TAKE);
  const marks = [];
  for (const [one, job] of [[north, jobs[0]], [south, jobs[1]]]) {
    await issues(one, job);
    const { kit } = await one.json(`/api/v1${job}`);
    marks.push(...kit.map(({ item }) => item.mark));
  }
  assert.equal(new Set(marks).size, marks.length, "no item is out with both");
  // What is out with one says so to the other, where it is looked up.
  await south.open(`/items?q=${marks[0]}`);
  await south.follow(marks[0], { within: south.page.getByRole("table") });
  await south.reads("North shaft");
});

async function plans(visitor, title) {
  await visitor.open("/jobs/new");
  const day = new Date(Date.now() + 30 * 86_400_000).toISOString().slice(0, 10);
  await visitor.write("What is to be done", title);
  await visitor.write("Where", "Works");
  await visitor.write("From (UTC)", `${day}T07:00`);
  await visitor.write("Until (UTC)", `${day}T16:00`);
  await visitor.choose("Rig", "4:1 haul and lower set, pulled down");
  await visitor.choose(/^Planned for/, "one person");
  await visitor.write("Depth", "12 m");
  await visitor.press("Plan the job");
  return new URL(visitor.page.url()).pathname;
}

/** The marks of what is proposed. */
async function picks(visitor) {
  const ticks = visitor.page.getByRole("checkbox", { name: /^Take / });
  return Promise.all((await ticks.all()).map(async (tick) => (await tick.getAttribute("value")).split("/").pop()));
}

async function issues(visitor, job) {
  await visitor.open(`${job}/issues`);
  const takes = visitor.field("Takes");
  const people = await takes.getByRole("option").all();
  const mine = await visitor.field("Hands out").inputValue();
  for (const person of people) {
    const id = await person.getAttribute("value");
    if (id && id !== mine) {
      await takes.selectOption(id);
      break;
    }
  }
  await visitor.press("Issue the kit");
  await visitor.reads("The kit is issued.");
}
