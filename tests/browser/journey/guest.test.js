// An outside auditor: let in by a link, reads, takes along, changes nothing, and is turned out when the link is withdrawn.
import assert from "node:assert/strict";
import { WAYS } from "../harness/browser.js";
import { records } from "../harness/csv.js";
import { walk } from "../harness/walk.js";

const WHO = "Ada Brook of Lowland Surveys";

walk("an outside auditor is let in by a link and turned out again", [WAYS.deskLight, WAYS.phoneDarkPlain], "demo", async (scene) => {
  const admin = await scene.person("admin");
  const address = await makesALink(admin);
  const guest = await scene.stranger();
  await opens(guest, address);
  const item = await readsAndTakesAlong(guest);
  await changesNothing(guest, item);
  await seesWhatWasRead(admin, item);
  await admin.write("Reason", "The audit is done");
  await admin.press("Withdraw it");
  await admin.reads("The link is withdrawn.");
  await guest.open("/items", { status: 410 });
  await guest.reads("This link was withdrawn on");
  await guest.picture(`a link that was withdrawn, ${guest.way.name}`);
  await guest.open(address, { status: 410 });
  await guest.reads("This link was withdrawn on");
});

async function makesALink(admin) {
  await admin.section("People");
  await admin.follow("Outside auditors");
  await admin.reads("No outside auditor was let in yet.");
  await admin.write("Name", "Ada Brook");
  await admin.press("Make the link", { status: 422 });
  await admin.reads("Write the reason");
  assert.equal(await admin.field("Name").inputValue(), "Ada Brook");
  await admin.write("Organisation", "Lowland Surveys");
  await admin.write("Reason", "Yearly audit");
  const day = new Date(Date.now() + 10 * 86_400_000).toISOString().slice(0, 10);
  await admin.write("Last day", day);
  await admin.press("Make the link");
  await admin.reads("It is shown this once");
  await admin.picture(`a link for an outside auditor, ${admin.way.name}`);
  const address = await admin.page.locator("#secret").innerText();
  assert.match(address, /\/guest\/[0-9a-f]{64}$/);
  await admin.open("/guests");
  await admin.readsNot("It is shown this once");
  return address.slice(address.indexOf("/guest/"));
}

async function opens(guest, address) {
  await guest.open(`/guest/${"0".repeat(64)}`, { status: 404 });
  await guest.open(address);
  await guest.reads(`This link is for ${WHO}`);
  await guest.picture(`opening a link, ${guest.way.name}`);
  await guest.press("Open the record");
  await guest.reads(`${WHO}, you read this record as an outside auditor`);
  await guest.picture(`the start of an outside auditor, ${guest.way.name}`);
}

async function readsAndTakesAlong(guest) {
  await guest.open("/items?q=HR-01");
  await guest.follow("HR-01");
  const item = new URL(guest.page.url()).pathname;
  await guest.follow("Whole history");
  await guest.reads("History of HR-01");
  const { text } = await guest.takeAs("Take it along", "CSV");
  assert.ok(records(text).length > 2);
  return item;
}

async function changesNothing(guest, item) {
  await guest.open(item);
  for (const offered of ["Record examination", "Put in quarantine", "Retire for good"]) await guest.readsNot(offered);
  for (const page of ["/items/new", "/settings", "/settings/tokens", "/people"]) await guest.open(page, { status: 403 });
  assert.equal(await guest.sends(`${item}/step`, { step: "retire", reason: "Because" }), 403);
  assert.equal(await guest.sends("/settings/password", { old: "x", new: "y" }), 403);
}

async function seesWhatWasRead(admin, item) {
  await admin.open("/guests");
  await admin.follow(WHO);
  await admin.reads(`GET ${item}`);
  await admin.reads(/ropeloft-item-history-.*\.csv/);
  await admin.picture(`what an outside auditor read, ${admin.way.name}`);
  await admin.follow("Hold all against the record");
  await admin.answer(/All \d+ reads are as they were noted/);
  const { text } = await admin.takeAs("Take it along", "CSV");
  const reads = records(text);
  assert.ok(reads.some((read) => read.path === item && read.status === "200"));
  assert.ok(reads.some((read) => read.path === "/settings/tokens" && read.status === "403"));
}
