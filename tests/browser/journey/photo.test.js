// Photos and documents: taken at an item, seen there, shown to the auditor by fingerprint, withdrawn with a reason.
import assert from "node:assert/strict";
import { WAYS } from "../harness/browser.js";
import { document, photo } from "../harness/photo.js";
import { walk } from "../harness/walk.js";

const CUT = "cut in the sheath, 4 m from the end";

walk(
  "the officer puts a photo and a document on an item's record and withdraws the photo",
  [WAYS.deskLight, WAYS.phoneDarkPlain],
  "demo",
  async (scene) => {
    const officer = await scene.person("officer");
    await officer.section("Items");
    await officer.narrow("Kind", "rope");
    const [mark] = await officer.rows(/Items/);
    await officer.follow(mark);
    await isTold(officer);
    await adds(officer);
    await sees(officer);
    await withdraws(officer);
  },
);

/** What is no photo is refused by name, and the words that were typed stay. */
async function isTold(officer) {
  await officer.follow("Add photos or documents");
  await officer.write("What they show or say", CUT);
  await officer.press("Put on the record", { status: 422 });
  await officer.attach("Take a photo", "sheath.png", Buffer.from("no photo at all"));
  await officer.write("What they show or say", CUT);
  await officer.press("Put on the record", { status: 422 });
  await officer.reads("sheath.png");
  assert.equal(await officer.field("What they show or say").inputValue(), CUT, "nothing typed is lost");
}

async function adds(officer) {
  await officer.attach("Take a photo", "sheath.png", photo());
  await officer.attach("Or choose files", "instructions.pdf", document());
  await officer.press("Put on the record");
}

/** The photo is drawn as it was taken, without what it said of its place. */
async function sees(officer) {
  const shots = officer.page.locator(".gallery img");
  const shot = shots.first();
  await shot.scrollIntoViewIfNeeded();
  await officer.page.waitForFunction((image) => image.complete && image.naturalWidth > 0, await shot.elementHandle());
  const bytes = await officer.page.request.get(await shot.evaluate((image) => image.src));
  assert.ok(!(await bytes.body()).includes("51.5 N"), "where it was taken is not kept");
  await officer.picture(`photo, ${officer.way.name}`);
  await officer.follow(new RegExp(`^${CUT}`), { within: officer.page.locator(".gallery") });
  await officer.reads(/[0-9a-f]{64}/);
}

async function withdraws(officer) {
  await officer.follow("Withdraw");
  await officer.press("Withdraw it", { status: 422 });
  await officer.write("Reason", "Shows another rope");
  await officer.press("Withdraw it");
  await officer.reads("Shows another rope");
}
