// The equipment officer: brings an inventory in, keeps the register, says what is fit and what is not.
import assert from "node:assert/strict";
import { WAYS } from "../harness/browser.js";
import { walk } from "../harness/walk.js";

walk(
  "the officer adds gear, examines it, takes it out of use and back, and retires it",
  [WAYS.deskLight, WAYS.phoneDarkPlain],
  "demo",
  async (scene) => {
    const officer = await scene.person("officer");
    await officer.picture(`home, ${scene.way.name}`);
    await addsAModel(officer);
    await addsAnItem(officer);
    await examinesIt(officer);
    await quarantinesAndReturnsIt(officer);
    await retiresIt(officer);
  },
);

walk(
  "the officer finds items by search, filter, order and page",
  [WAYS.deskDark, WAYS.phoneLightPlain],
  "demo",
  async (scene) => {
    const officer = await scene.person("officer");
    await searches(officer);
    await filters(officer);
    await sorts(officer);
    await turnsPages(officer);
  },
);

async function addsAModel(officer) {
  await officer.section("Models");
  await officer.follow("Add model");
  await officer.follow(/^rope clamp/i);
  await officer.write("Maker", "Quarrell & Daughters");
  await officer.press("Add model", { status: 422 });
  assert.equal(await officer.field("Maker").inputValue(), "Quarrell & Daughters", "nothing typed is lost");
  await officer.write("Model", "Gripper 11");
  await officer.choose("May it hold people?", "yes");
  const rating = officer.group("Rating 1");
  await officer.choose("Loaded", /made to be used|body|rope/i, rating);
  await officer.write("Holds", "4 kN", rating);
  await officer.choose("Kind of rating", /working/i, rating);
  const approval = officer.group("Approval 1");
  await officer.write("Standard", "EN 12841", approval);
  await officer.write("Class, type or grade", "B", approval);
  await officer.write("Thinnest rope", "10 mm", approval);
  await officer.write("Thickest rope", "ten", approval);
  await officer.choose("Kinds of rope", "low-stretch", approval);
  await officer.write("Rated load", "120 kg", approval);
  await officer.more("One more approval");
  const second = officer.group("Approval 2");
  await officer.write("Standard", "EN 567", second);
  await officer.write("Thinnest rope", "8 mm", second);
  await officer.write("Thickest rope", "13 mm", second);
  await officer.press("Add model", { status: 422 });
  await officer.reads(/1 thing|one thing/);
  assert.equal(await officer.field("Thickest rope", officer.group("Approval 2")).inputValue(), "13 mm");
  await officer.write("Thickest rope", "12,5 mm", officer.group("Approval 1"));
  await officer.tick("The maker sets no years; the condition decides");
  await officer.press("Add model");
  await officer.reads("Gripper 11");
  await officer.reads("EN 12841");
  await officer.reads("12.5 mm");
}

async function addsAnItem(officer) {
  await officer.follow("Add an item of it");
  await officer.write("Mark", "NX-1");
  await officer.choose("Store", "Rope bay");
  await officer.write("Made", "31.2.2024");
  await officer.press("Add item", { status: 422 });
  assert.equal(await officer.field("Mark").inputValue(), "NX-1", "nothing typed is lost");
  await officer.write("Made", "2024-03");
  await officer.write("Serial", "77-0412");
  await officer.write("Lot", "L9");
  await officer.choose("Markings can be read", "yes");
  await officer.press("Add item");
  await officer.reads("NX-1 was added.");
  await officer.answer("no passed examination is on record");
}

async function examinesIt(officer) {
  await officer.follow("Record examination");
  await officer.press("Record examination", { status: 422 });
  await officer.choose("Kind", /intake/i);
  await officer.write("Day it was done", today());
  await officer.letsTheRestPass();
  await officer.choose("Verdict", /^fit/i);
  await officer.write("Findings", "New, teeth complete, spring works.");
  await officer.press("Record examination");
  await officer.answer("Fit to be chosen");
  await officer.picture(`item, ${officer.way.name}`);
}

async function quarantinesAndReturnsIt(officer) {
  await officer.follow("Put in quarantine");
  await officer.press("Put in quarantine", { status: 422 });
  await officer.write("Reason", "The catch sticks.");
  await officer.press("Put in quarantine");
  await officer.reads("NX-1 is quarantined now.");
  await officer.answer("in quarantine");
  await officer.follow("Return to service");
  await officer.write("Reason", "Cleaned and tried ten times; it shuts.");
  await officer.press("Return to service");
  await officer.answer("Fit to be chosen");
}

async function retiresIt(officer) {
  const item = new URL(officer.page.url()).pathname;
  await officer.follow("Retire for good");
  await officer.write("Reason", "A tooth broke off.");
  await officer.press("Retire for good");
  await officer.answer("retired since");
  await officer.readsNot("Return to service");
  await officer.open(`${item}/step?step=return-to-service`, { status: 409 });
  await officer.reads(/retired/i);
}

async function searches(officer) {
  await officer.section("Items");
  await officer.write("Search", "HR-05");
  await officer.press("Search");
  assert.deepEqual(await officer.rows("Items"), ["HR-05"]);
  await officer.write("Search", "no such thing <b>");
  await officer.press("Search");
  assert.equal(await officer.page.getByRole("table").count(), 0);
}

async function filters(officer) {
  await officer.section("Items");
  await officer.narrow("Kind", "pulley");
  const all = await officer.rows("Items");
  assert.ok(all.length > 1, "the demo has pulleys");
  await officer.narrow("State", "Retired");
  await officer.narrow("Kind", "All kinds");
  assert.ok((await officer.rows("Items")).length > 0, "the demo has retired items");
  await officer.open("/items");
  await officer.narrow("Due", "Overdue");
  assert.ok((await officer.rows("Items")).length > 0, "the demo has overdue items");
}

async function sorts(officer) {
  await officer.open("/items");
  const order = async () => (await officer.rows("Items")).slice(0, 3);
  const up = await order();
  if (officer.way.size.width > 600) {
    await officer.follow(/^Mark/, { within: officer.page.getByRole("columnheader", { name: /^Mark/ }) });
  } else {
    await officer.open("/items?sort=mark&down=yes");
  }
  assert.notDeepEqual(await order(), up, "the other way round");
}

async function turnsPages(officer) {
  await officer.open("/items");
  const seen = new Set(await officer.rows("Items"));
  while (await officer.page.getByRole("link", { name: "Next page" }).count()) {
    await officer.follow("Next page");
    for (const mark of await officer.rows("Items")) {
      assert.ok(!seen.has(mark), `${mark} stands on two pages`);
      seen.add(mark);
    }
  }
  assert.ok(seen.size > 100, `only ${seen.size} items were seen`);
  await officer.follow("Back to the first");
}

function today() {
  return new Date().toISOString().slice(0, 10);
}
