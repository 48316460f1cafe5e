// Photos taken at the bench: kept on the device with what is written, sent behind the record, refused with what is wrong.
import assert from "node:assert/strict";
import { mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { everythingIsSent, examinations, onThisDevice, opened, presses, scans } from "../harness/bench.js";
import { WAYS } from "../harness/browser.js";
import { photo } from "../harness/photo.js";
import { walk } from "../harness/walk.js";

const LIST = "/bench?kind=connector";
const CAPTION = "a burr on the nose, 2 mm";
const PHOTOS = "[aria-label='Photos for this record'] > li";

/** A file of more than a photo may have; by its place, since a browser is handed no more than 50 MiB otherwise, and slowly. */
function tooLarge() {
  const file = join(mkdtempSync(join(tmpdir(), "ropeloft-photo-")), "large.png");
  writeFileSync(file, Buffer.alloc(21 * 1024 * 1024));
  return file;
}

/** How many photos lie on the open sheet. */
const lying = (visitor) => visitor.page.locator(PHOTOS).count();

/** Waits until so many photos lie on the open sheet. */
async function lie(visitor, wanted) {
  await visitor.page.waitForFunction(([place, count]) => document.querySelectorAll(place).length === count, [PHOTOS, wanted]);
}

/** What is on the last examination of the item with this mark. */
async function attached(visitor, mark) {
  const [last] = await examinations(visitor, mark);
  return (await visitor.json(`/api/v1/attachments?examination=${last.id}`)).attachments;
}

walk("a photo goes behind its record", [WAYS.phoneLight, WAYS.deskDark], "demo", async (scene) => {
  const officer = await scene.person("officer");
  await officer.open(LIST);
  await onThisDevice(officer);
  const [mark, other] = await officer.rows("Items of the list");
  await scans(officer, mark);
  await officer.attach("Take a photo", "no-photo.png", Buffer.from("no photo at all"));
  await officer.page.getByText("no-photo.png: this cannot be read here as a photo").waitFor();
  await officer.field("Or choose photos").setInputFiles(tooLarge());
  await officer.page.getByText("large.png: a photo may have at most 20.0 MiB; this one has 21.0 MiB").waitFor();
  assert.equal(await lying(officer), 0);
  await officer.attach("Take a photo", "nose.png", photo(3000, 1500));
  await lie(officer, 1);
  await officer.looks();
  await officer.page.locator(PHOTOS).first().scrollIntoViewIfNeeded();
  await officer.picture(`photo at the bench, ${scene.way.name}`);
  await officer.page.locator("#sheet").focus();
  await officer.page.keyboard.press("f");
  await officer.page.locator("[data-complained]").getByText("Write what the photo shows").waitFor();
  await officer.write("What nose.png shows", CAPTION);
  await presses(officer, "f", `${mark}: fit.`);
  await everythingIsSent(officer);
  const [one, ...none] = await attached(officer, mark);
  assert.deepEqual([one.caption, one.name, none.length], [CAPTION, "nose.png", 0]);
  assert.deepEqual(one.file.pixels, { width: 2048, height: 1024 }, "it was made smaller, whole");
  // The next sheet begins without it.
  await scans(officer, other);
  assert.equal(await lying(officer), 0);
});

walk("a photo waits with what was begun, and without a line", [WAYS.phoneDark], "demo", async (scene) => {
  const officer = await scene.person("officer");
  await officer.open(LIST);
  await onThisDevice(officer);
  const [mark, dropped] = await officer.rows("Items of the list");
  await officer.line(false);
  await scans(officer, mark);
  await officer.attach("Take a photo", "nose.png", photo());
  await officer.attach("Or choose photos", "gate.png", photo(320, 200));
  await lie(officer, 2);
  await officer.write("What nose.png shows", CAPTION);
  // A closed tab loses nothing.
  await officer.newTab();
  await officer.page.goto(`${scene.server.origin}/bench`);
  await officer.page.getByRole("button", { name: mark, exact: true }).click();
  await opened(officer, mark);
  await lie(officer, 2);
  assert.equal(await officer.field("What nose.png shows").inputValue(), CAPTION);
  await officer.page.getByRole("button", { name: "Leave out gate.png" }).click();
  await lie(officer, 1);
  await presses(officer, "f", `${mark}: fit.`);
  await officer.page.getByText("2 records wait to be sent").waitFor();
  await officer.looks();
  // What is begun anew takes its photos with it.
  await scans(officer, dropped);
  await officer.attach("Take a photo", "other.png", photo(100, 100));
  await lie(officer, 1);
  await scans(officer, dropped);
  await officer.page.getByRole("button", { name: "Begin anew" }).click();
  await lie(officer, 0);
  await officer.line(true);
  await everythingIsSent(officer);
  const found = await attached(officer, mark);
  assert.deepEqual(found.map((one) => [one.caption, one.name]), [[CAPTION, "nose.png"]]);
  // Sent a second time it is there once.
  await officer.page.evaluate(() => globalThis.ropeloft.queue.flush());
  assert.equal((await attached(officer, mark)).length, 1);
});

walk("a photo waits for its record to be mended, and goes with one that is thrown away", [WAYS.deskLight], "demo", async (scene) => {
  const crew = await scene.person("crew");
  await crew.open(LIST);
  await onThisDevice(crew);
  const [changed, gone] = await crew.rows("Items of the list");
  await crew.line(false);
  for (const mark of [changed, gone]) {
    await scans(crew, mark);
    await crew.attach("Take a photo", "nose.png", photo());
    await lie(crew, 1);
    await crew.write("What nose.png shows", CAPTION);
    await presses(crew, "f", `${mark}: fit.`);
  }
  const officer = await scene.person("officer");
  for (const mark of [changed, gone]) {
    await officer.open(`/scan?code=${encodeURIComponent(mark)}`);
    await officer.follow("Put in quarantine");
    await officer.write("Reason", "The gate sticks.");
    await officer.press("Put in quarantine");
  }
  crew.expects(422);
  await crew.line(true);
  const line = (mark) => crew.page.getByRole("listitem").filter({ hasText: `${mark}: fit: not taken.` });
  await line(changed).waitFor();
  crew.page.once("dialog", (dialog) => dialog.accept());
  await line(gone).getByRole("button", { name: "Discard" }).click();
  await line(gone).waitFor({ state: "detached" });
  await line(changed).getByRole("link", { name: "Look at it again" }).click();
  await opened(crew, changed);
  await lie(crew, 1);
  await crew.page.getByText("Findings, markings, next due").click();
  await crew.write("Findings", "Sticks here too.");
  await presses(crew, "q", `${changed}: to quarantine.`);
  await everythingIsSent(crew);
  assert.deepEqual((await attached(crew, changed)).map((one) => one.caption), [CAPTION]);
});
