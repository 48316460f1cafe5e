// A hand with a glove on at a phone: what is pressed is large enough, and what is looked for stands on the first screen.
import assert from "node:assert/strict";
import { WAYS } from "../harness/browser.js";
import { walk } from "../harness/walk.js";

const PHONES = [WAYS.phoneLight, WAYS.phoneDarkPlain, WAYS.smallLight, WAYS.smallDarkPlain];
const DESKS = [WAYS.deskLight, WAYS.deskDarkPlain];
const TOUCH = 48;

/** Where the parts that can be pressed stand, as far as they can be seen. */
async function boxes(parts) {
  const all = await parts.evaluateAll((found) =>
    found
      .filter((one) => one.checkVisibility({ contentVisibilityAuto: true, visibilityProperty: true }))
      .map((one) => ({ name: one.textContent.trim(), ...one.getBoundingClientRect().toJSON() })),
  );
  return all;
}

walk("every section is at hand on a phone", PHONES, "demo", async (scene) => {
  const admin = await scene.person("admin");
  const { width, height } = scene.way.size;
  const sections = admin.page.getByRole("navigation", { name: "Sections" });
  const parts = sections.locator("a, summary");
  const look = async () => {
    const found = await boxes(parts);
    for (const { name, left, right, top, bottom } of found) {
      assert.ok(right - left >= TOUCH && bottom - top >= TOUCH, `${name} is ${right - left} by ${bottom - top} px`);
      assert.ok(left >= 0 && right <= width && top >= 0 && bottom <= height, `${name} is off the screen`);
    }
    return found.map(({ name }) => name);
  };
  assert.deepEqual(await look(), ["Items", "Jobs", "Scan", "History", "More"]);
  await sections.getByText("More").click();
  const all = await look();
  assert.equal(all.length, 15, all.join(", "));
  await admin.section("Rulebooks");
  assert.equal(await admin.heading("Rulebooks"), "Rulebooks");
  assert.equal(await sections.locator(".here").count(), 1, "the way to the rest says that this page is there");
  assert.deepEqual(await look(), ["Items", "Jobs", "Scan", "History", "More"]);
});

walk("the filters of a list fold away on a phone, unless one is set", PHONES, "demo", async (scene) => {
  const crew = await scene.person("crew");
  for (const [list, button] of [["/items", "Search"], ["/models", "Search"], ["/history", "Show"]]) {
    await crew.open(list);
    assert.ok(await crew.page.getByText("Filters", { exact: true }).isVisible(), list);
    const filters = crew.page.locator(".filters select");
    assert.ok(!(await filters.first().isVisible()), `${list} shows its filters unasked`);
    const label = list === "/history" ? "What" : "Kind";
    await crew.narrow(label, list === "/history" ? /examination/i : "pulley", button);
    assert.ok(await filters.first().isVisible(), `${list} hides a filter that is set`);
  }
  await crew.open("/items");
  const first = await crew.page.getByRole("rowheader").first().boundingBox();
  assert.ok(first.y + first.height < scene.way.size.height - 60, `the first item begins at ${first.y} px`);
});

walk("the filters of a list stand open on a desk", DESKS, "demo", async (scene) => {
  const crew = await scene.person("crew");
  await crew.open("/items");
  await crew.narrow("Kind", "pulley");
  await crew.narrow("Kind", "All kinds");
  assert.ok(await crew.field("State").isVisible());
  assert.ok(!(await crew.page.getByText("Filters", { exact: true }).isVisible()));
  const names = (await boxes(crew.page.getByRole("navigation", { name: "Sections" }).locator("a, summary"))).map(({ name }) => name);
  assert.deepEqual(names, ["Items", "Jobs", "Scan", "History", "Due", "Bench", "Notices", "Models", "Stores", "Trends", "Papers", "Rigs", "Rulebooks"]);
});
