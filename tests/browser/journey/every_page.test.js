// Every page that can be reached by links, each kind once, in both sizes and both themes.
import assert from "node:assert/strict";
import { WAYS } from "../harness/browser.js";
import { walk } from "../harness/walk.js";

const LOOKS = [WAYS.deskLight, WAYS.deskDark, WAYS.phoneLight, WAYS.phoneDark];
/** Two items are two pages of one kind; which one is looked at does not matter. */
const ID = /[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}/g;
/** Not ours to judge: the viewer of the API's description is a library's page, and files to take along are no pages. */
const NOT_OURS = /^\/(api|exports)\//;
const FEWEST = 10;
/** The pages of what the team keeps itself: long ones, and forms that only its own things have. */
const OWN = [
  "/rulebooks",
  "/rulebooks/new",
  "/rulebooks/sheet",
  "/rulebooks/ostrevane",
  "/rulebooks/ostrevane@1",
  "/rulebooks/ostrevane/edit",
  "/rulebooks/ostrevane/sheet",
  "/rigs/ostrevane-well",
  "/rigs/ostrevane-well/edit",
];

walk("every page holds what every page must", LOOKS, "demo", async (scene) => {
  const admin = await scene.person("admin");
  const seen = new Set();
  const waiting = ["/"];
  const wrong = [];
  while (waiting.length) {
    const path = waiting.shift();
    const kind = new URL(path, scene.server.origin).pathname.replace(ID, "{id}");
    if (seen.has(kind) || NOT_OURS.test(kind) || !(await admin.isPage(path))) continue;
    seen.add(kind);
    // All that is wrong at once, not the first alone.
    await admin.open(path).catch((error) => wrong.push(error.message));
    waiting.push(...(await admin.links()));
  }
  assert.ok(wrong.length === 0, wrong.join("\n\n"));
  const missed = OWN.filter((path) => !seen.has(path));
  assert.ok(missed.length === 0, `no link led to ${missed.join(" ")}`);
  assert.ok(seen.size >= FEWEST, `only these were reached: ${[...seen].join(" ")}`);
});
