// The crew's day without a pointer: from the sign-in to the count, by keys alone, and it is always seen where one is.
import assert from "node:assert/strict";
import { WAYS } from "../harness/browser.js";
import { bringsBackWhatIsOut } from "../harness/out.js";
import { walk } from "../harness/walk.js";

/** How many presses of Tab a page may ask for. */
const FAR = 400;

walk("a crew plans, proposes, issues, checks and counts back by keys alone", [WAYS.deskLight, WAYS.deskDark, WAYS.phoneDark], "demo", async (scene) => {
  await bringsBackWhatIsOut(await scene.person("officer"));
  const crew = await scene.stranger();
  const keys = new Keys(crew);
  await signsIn(keys, scene.people.crew);
  await plans(keys);
  await proposes(keys);
  await issues(keys);
  await checks(keys);
  await countsBack(keys);
});

async function signsIn(keys, { name, password }) {
  await keys.visitor.open("/sign-in");
  await keys.write("Sign-in name", name);
  await keys.write("Password", password);
  await keys.leadsOn("Enter");
}

async function plans(keys) {
  if (keys.visitor.way.size.width < 600) await keys.visitor.open("/jobs");
  else await keys.follows("Jobs");
  await keys.follows("Plan a job");
  await keys.write("What is to be done", "By keys alone");
  await keys.write("Where", "North works");
  // The browser shows hours up to 24, or up to 12 with a part for the half of the day: these are right in both.
  for (const [label, hour, half] of [["From", "01", "a"], ["Until", "08", "p"]]) {
    await keys.to(new RegExp(`^${label}`));
    await keys.types(soonDay());
    await keys.presses("ArrowRight");
    await keys.types(`${hour}00`);
    await keys.types(half);
  }
  await keys.write("Hazards", "Water below");
  await keys.chooses("Planned for", "one person");
  await keys.write(/^Depth/, "12 m");
  await keys.chooses(/^Rig/, "4:1 haul and lower set, pulled down");
  await keys.follows("Plan the job");
  await keys.visitor.reads("The job is planned.");
  await keys.visitor.reads("Water below");
}

async function proposes(keys) {
  await keys.follows("Propose a kit");
  await keys.follows("Put what is ticked on the kit list");
  await keys.visitor.reads(/items are on the kit list/);
  await keys.visitor.picture(`by keys, verdict, ${keys.visitor.way.name}`);
}

async function issues(keys) {
  await keys.follows("Issue");
  await keys.to(/^Takes/);
  await keys.presses("ArrowDown");
  await keys.follows("Issue the kit");
  await keys.visitor.reads("The kit is issued.");
}

async function checks(keys) {
  await keys.follows("Function check");
  for (;;) {
    const now = await keys.to(/^(Right|Sign as .*)$/);
    if (now.type !== "radio") break;
    await keys.presses("Space");
  }
  await keys.leadsOn("Enter");
  await keys.visitor.reads("Signed.");
}

async function countsBack(keys) {
  await keys.follows("Count back");
  await keys.chooses(/^What has no answer/, "back and fine");
  await keys.write(/^Hours \(/, "1");
  await keys.write(/^Times used/, "1");
  await keys.follows("Count it back");
  await keys.visitor.reads("accounted for");
  await keys.visitor.picture(`by keys, counted, ${keys.visitor.way.name}`);
}

/** Somebody at the keys. */
class Keys {
  constructor(visitor) {
    this.visitor = visitor;
  }

  get #keyboard() {
    return this.visitor.page.keyboard;
  }

  /** Goes on with Tab until what has this name has the focus; fails if the focus is ever out of sight. */
  async to(name) {
    const passed = [];
    for (let press = 0; press < FAR; press += 1) {
      await this.#keyboard.press("Tab");
      const now = await this.visitor.page.evaluate(focused);
      if (!now) continue;
      assert.ok(now.isSeen, `"${now.name}" has the focus, and nothing shows it`);
      passed.push(now.name);
      if (name instanceof RegExp ? name.test(now.name) : name === now.name) return now;
    }
    assert.fail(`${this.visitor.page.url()} has no ${name} on the way, but: ${[...new Set(passed)].join(" | ")}`);
  }

  async presses(key) {
    await this.#keyboard.press(key);
  }

  async types(text) {
    await this.#keyboard.type(text);
  }

  async write(name, text) {
    await this.to(typeof name === "string" ? new RegExp(`^${name}`) : name);
    await this.types(text);
  }

  /** Chooses a line of a list by its first letters. */
  async chooses(name, words) {
    await this.to(typeof name === "string" ? new RegExp(`^${name}`) : name);
    await this.types(words);
    const chosen = await this.visitor.page.evaluate(() => document.activeElement.selectedOptions[0].textContent.trim());
    assert.ok(chosen.startsWith(words), `${name} is ${chosen}`);
  }

  /** Presses a key that leads to another page, and looks at that. */
  async leadsOn(key) {
    const { page } = this.visitor;
    const arrival = page.waitForEvent("framenavigated", { predicate: (frame) => frame === page.mainFrame(), timeout: 30_000 });
    await Promise.all([arrival, this.presses(key)]);
    await page.waitForLoadState("load");
    await this.visitor.looks();
  }

  /** Goes to a link or a button and presses it. */
  async follows(name) {
    await this.to(name);
    await this.leadsOn("Enter");
  }
}

/** What has the focus once it has come to rest: its name, its type, and whether a ring shows it within the window. */
async function focused() {
  await Promise.allSettled(document.getAnimations().map(({ finished }) => finished));
  const one = document.activeElement;
  if (!one || one === document.body) return undefined;
  const labels = [...(one.labels ?? [])].map((label) => label.innerText).join(" ");
  const name = (labels || one.getAttribute("aria-label") || one.innerText || "").replace(/\s+/g, " ").trim();
  const hasRing = (part) => {
    const { outlineStyle, outlineWidth } = getComputedStyle(part);
    return outlineStyle !== "none" && Number.parseFloat(outlineWidth) >= 2;
  };
  const { top, bottom, left, right } = one.getBoundingClientRect();
  const isInside = bottom > 0 && top < innerHeight && right > 0 && left < innerWidth;
  // The button within a field of time draws a ring of its own, which no script can ask for.
  const isWithin = !one.matches(":focus") && one.matches(":focus-within");
  const isSeen = isInside && (isWithin || hasRing(one) || (one.parentElement && hasRing(one.parentElement)));
  return { name, type: one.type, isSeen };
}

/** The next day that is written alike with the day first and with the month first, such as the twelfth of December. */
function soonDay() {
  for (let days = 2; ; days += 1) {
    const [year, month, day] = new Date(Date.now() + days * 86_400_000).toISOString().slice(0, 10).split("-");
    if (day === month) return `${day}${month}${year}`;
  }
}
