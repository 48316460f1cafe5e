// On site without a line: what a crew took along opens, what it signs and counts there arrives later, once.
import assert from "node:assert/strict";
import { WAYS } from "../harness/browser.js";
import { walk } from "../harness/walk.js";

const JOB = "Valve spindles, Hallow Lane";

walk("a crew without a line opens its job, signs the function check and counts the kit back", [WAYS.phoneDark], "demo", async (scene) => {
  const crew = await scene.person("crew");
  await crew.section("Jobs");
  await crew.follow(JOB);
  const job = new URL(crew.page.url()).pathname;
  await crew.follow("Function check");
  const check = new URL(crew.page.url()).pathname;
  await isTakenAlong(crew, [job, `${job}/verdict`, check, check.replace(/check$/, "return"), "/along"]);
  await isTakenAlong(crew, [...(await drawingsOf(crew, `${job}/verdict`)), `${job}/kit.pdf`]);
  const before = await signatures(crew, check);
  await crew.line(false);
  await opensWhatItTook(crew, job);
  await signsWithoutALine(crew, check);
  await countsWithoutALine(crew, check);
  await crew.line(true);
  await crew.page.evaluate(() => globalThis.ropeloft.queue.flush());
  await crew.until(async () => (await globalThis.ropeloft.queue.entries()).length === 0);
  assert.equal(await signatures(crew, check), before + 1, "the signature arrived once");
  await crew.open(check);
  await crew.readsNot("There is no line");
  await crew.reads(/One signature Jory Pellan/);
  await crew.open(check.replace(/check$/, "return"));
  await crew.reads("What was counted");
  await crew.picture(`counted back, ${crew.way.name}`);
});

walk("a time that is typed without a line is on the team's clocks, not the device's", [WAYS.deskLight], "demo", async (scene) => {
  const zone = "Asia/Kolkata";
  const admin = await scene.person("admin");
  await admin.open("/team");
  await admin.choose("Time zone", zone);
  await admin.press("Save");
  const crew = await scene.person("crew");
  await crew.section("Jobs");
  await crew.follow(JOB);
  await crew.follow("Function check");
  const check = new URL(crew.page.url()).pathname;
  await isTakenAlong(crew, [check]);
  await crew.line(false);
  await crew.open(check);
  for (const right of await crew.page.getByRole("radio", { name: "Right", exact: true }).all()) await right.check();
  const done = new Date(Math.floor(Date.now() / 60_000) * 60_000 - 3_600_000);
  const shown = (at) => at.toLocaleString("sv", { timeZone: zone, dateStyle: "short", timeStyle: "short" }).replace(" ", "T");
  // What is still to come there is told at once, and nothing is kept.
  await crew.write(`When it was done`, shown(new Date(Date.now() + 7_200_000)));
  await crew.page.getByRole("button", { name: /^Sign as/ }).click();
  await crew.page.waitForFunction(() => /still to come/.test(document.querySelector("[name=at]").validationMessage));
  assert.equal(await kept(crew), 0);
  await crew.write(`When it was done`, shown(done));
  await crew.page.getByRole("button", { name: /^Sign as/ }).click();
  await crew.page.getByRole("heading", { name: "Kept on this device" }).waitFor();
  const [entry] = await crew.page.evaluate(() => globalThis.ropeloft.queue.entries());
  assert.equal(new Date(entry.body.at).getTime(), done.getTime(), `${entry.body.at} is not ${shown(done)} on the clocks of ${zone}`);
  await crew.line(true);
});

walk("pages that have not changed are not worked out again", [WAYS.deskLight], "demo", async (scene) => {
  const crew = await scene.person("crew");
  await crew.section("Jobs");
  await crew.follow(JOB);
  const job = new URL(crew.page.url()).pathname;
  // What the page before the sign-in forgets may still be forgotten while the first page takes its own along: the next
  // one that is opened takes them again.
  let answers = null;
  for (let opened = 0; !answers && opened < 5; opened += 1) {
    await crew.open(job);
    await isTakenAlong(crew, [job, `${job}/verdict`]);
    answers = await crew.page.evaluate(async (page) => {
      const cache = await caches.open("ropeloft-jobs");
      const mark = (await cache.match(page))?.headers.get("etag");
      return mark && [mark, (await fetch(page, { headers: { "if-none-match": mark } })).status];
    }, `${job}/verdict`);
  }
  assert.ok(answers?.[0], "the page has a mark");
  assert.equal(answers[1], 304);
});

walk("what is reported without a line arrives once, and what is refused keeps all that was typed", [WAYS.phoneLight], "demo", async (scene) => {
  const crew = await scene.person("crew");
  const { item } = await crew.json("/api/v1/scan?code=BR-02");
  const page = `/items/${item.id}`;
  const notes = async () => (await crew.json(`/api/v1${page}/events`)).events.map((event) => event.note);
  const before = (await notes()).length;
  await crew.open(`${page}/events/new`);
  await crew.line(false);
  await reports(crew, "off the trailer, onto its gate");
  await crew.reads("1 record waits");
  await crew.looks();
  await hasALineAgain(crew, 0);
  assert.equal((await notes()).filter((note) => note === "off the trailer, onto its gate").length, 1, "it arrived once");
  // A quick look goes the same way, with what was answered and measured line by line.
  await crew.open(`${page}/examinations/new?look=quick`);
  await crew.line(false);
  await crew.choose("Kind", /^Pre-use check$/);
  await crew.choose("Verdict", /^fit$/i);
  await crew.page.getByRole("radio", { name: "pass", exact: true }).nth(1).check();
  await crew.page.getByRole("button", { name: "Record examination" }).click();
  await crew.page.getByRole("heading", { name: "Kept on this device" }).waitFor();
  await hasALineAgain(crew, 0);
  const [last] = (await crew.json(`/api/v1${page}/examinations`)).examinations;
  assert.deepEqual([last.kind, last.verdict, last.answers.length], ["pre-use", "fit", 1]);
  // A day on which the item was not made yet is refused, looked at again, and mended with everything that was typed.
  await crew.open(`${page}/events/new`);
  await crew.line(false);
  await crew.page.getByLabel("Day it happened").fill("1999-01-01");
  await reports(crew, "found below the slab");
  crew.expects(422);
  await hasALineAgain(crew, 1);
  await crew.page.getByRole("link", { name: "Look at it again" }).click();
  await crew.reads(/nothing happened to it before/);
  await crew.page.getByText(/was not taken, and all that was typed is in the form again/).waitFor();
  assert.equal(await crew.page.getByLabel("What is known of it").inputValue(), "found below the slab");
  assert.equal(await crew.page.getByLabel("Day it happened").inputValue(), "1999-01-01");
  await crew.picture(`mended, ${crew.way.name}`);
  await crew.looks();
  await crew.page.getByLabel("Day it happened").fill(new Date().toISOString().slice(0, 10));
  await crew.page.getByRole("button", { name: "Report it", exact: true }).click();
  await hasALineAgain(crew, 0);
  // What was mended goes on its own, and takes as long as it takes.
  for (let asked = 0; asked < 50 && (await notes()).length < before + 2; asked += 1) await crew.page.waitForTimeout(100);
  assert.equal((await notes()).length, before + 2);
});

/** Fills the form of an event in and sends it where there is no line. */
async function reports(crew, note) {
  await crew.choose("What happened", /dropped or hit/);
  await crew.write("What is known of it", note);
  await crew.page.getByRole("button", { name: "Report it", exact: true }).click();
  await crew.page.getByRole("heading", { name: "Kept on this device" }).waitFor();
}

/** Gives the line back, and waits until so many entries are left. */
async function hasALineAgain(crew, left) {
  await crew.line(true);
  await crew.page.evaluate(() => globalThis.ropeloft.queue.flush());
  await crew.until(
    async (left) => {
      const entries = await globalThis.ropeloft.queue.entries();
      return entries.length === left && entries.every((entry) => entry.state === "refused");
    },
    left,
  );
}

/** Waits until these pages are on the device. */
async function isTakenAlong(crew, pages) {
  await crew.until(async (wanted) => {
    const cache = await caches.open("ropeloft-jobs");
    const found = await Promise.all(wanted.map((page) => cache.match(page)));
    return found.every(Boolean);
  }, pages);
}

/** The addresses of the drawings that a kept page leads to. */
async function drawingsOf(crew, page) {
  const found = await crew.page.evaluate(async (wanted) => {
    const cache = await caches.open("ropeloft-jobs");
    const text = await (await cache.match(wanted)).text();
    return [...new DOMParser().parseFromString(text, "text/html").querySelectorAll("a[href*='?phase=']")].map((link) => link.getAttribute("href"));
  }, page);
  assert.ok(found.length > 3, `${found}`);
  return found;
}

async function opensWhatItTook(crew, job) {
  await crew.open(job);
  await crew.reads(/There is no line\. This is how it stood on/);
  await crew.follow("Verdict", { within: crew.page.getByRole("navigation", { name: "Pages of this job" }) });
  await crew.reads("weakest link");
  await crew.page.getByRole("main").getByRole("img").first().waitFor();
  await crew.picture(`verdict without a line, ${crew.way.name}`);
  // The drawing of every phase opens, the kit list to print, and of what does not open it is said why.
  const phases = crew.page.getByRole("navigation", { name: "Phase of the drawing" });
  for (const phase of await phases.getByRole("link").allInnerTexts()) {
    await crew.follow(phase, { within: phases });
    await crew.reads(/There is no line\. This is how it stood on/);
    assert.equal(await phases.locator("[aria-current=page]").innerText(), phase);
  }
  await crew.open(job);
  await crew.reads("What if (needs a line)");
  // So do the items of the kit, whose own pages are not on the device.
  const items = crew.page.getByRole("main").locator("a[href^='/items/']");
  await items.first().waitFor();
  for (const item of await items.allInnerTexts()) assert.match(item, /\s*\(needs a line\)$/);
  // What is sent where there is a line alone says so, and keeps what is typed.
  const went = crew.page.getByLabel("How it went, or why it is called off");
  await went.fill("went well, closed on site");
  for (const name of ["Close the job", "Call it off"]) {
    await crew.page.getByRole("button", { name }).click();
    await crew.page.getByRole("alert").getByText("This needs a line to the server: nothing was sent").waitFor();
    assert.equal(await went.inputValue(), "went well, closed on site");
  }
  await crew.page.getByRole("link", { name: "Kit list (PDF)" }).click();
  await crew.page.waitForURL(`**${job}/kit.pdf`);
  assert.equal(await crew.page.evaluate(() => document.contentType), "application/pdf");
  await crew.open(job);
  await crew.follow(/^What if/, { within: crew.page.getByRole("navigation", { name: "Pages of this job" }) });
  await crew.reads("There is no line, and what would be if is worked out by the server: ask it again where there is a line.");
  await crew.picture(`what if without a line, ${crew.way.name}`);
  // What was not taken along is said to be missing, and the jobs that were stand there.
  await crew.open("/items");
  await crew.reads("is not on this device");
  await crew.follow(JOB, { within: crew.page.locator("[data-along-list]") });
}

async function signsWithoutALine(crew, check) {
  await crew.open(check);
  for (const right of await crew.page.getByRole("radio", { name: "Right", exact: true }).all()) await right.check();
  await crew.page.getByRole("button", { name: /^Sign as/ }).click();
  await crew.page.getByRole("heading", { name: "Kept on this device" }).waitFor();
  await crew.reads("1 record waits");
  await crew.looks();
}

async function countsWithoutALine(crew, check) {
  await crew.open(check.replace(/check$/, "return"));
  await crew.choose(/^What has no answer/, /fine/i);
  await crew.write("Hours", "1:30");
  await crew.write("Times used", "1");
  await crew.page.getByRole("button", { name: "Count it back" }).click();
  await crew.page.getByRole("heading", { name: "Kept on this device" }).waitFor();
  await crew.reads("2 records wait");
}

async function signatures(crew, check) {
  return (await crew.json(`/api/v1${check}s`)).signed.length;
}

/** How many records wait on the device. */
async function kept(crew) {
  return crew.page.evaluate(async () => (await globalThis.ropeloft.queue.entries()).length);
}
