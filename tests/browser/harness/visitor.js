// Somebody at the pages: finds things as a person does, by role and label, and minds everything that goes wrong.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { checkPage } from "./page_check.js";
import { openWire } from "./wire.js";

const OUT = join(import.meta.dirname, "../out");
const PATIENCE_MS = 10_000;
/** A page that answers by script says what it has to say soon, not at once. */
const SAID_WITHIN_MS = 5_000;
/** The browser reports an answer of 4xx as an error of the console; the visitor judges answers itself. */
const ANSWER = /^Failed to load resource: the server responded with a status of 4\d\d/;
/** What the browser says of what it could not load while the line was away. */
const AWAY = /net::ERR_(INTERNET_DISCONNECTED|FAILED|NETWORK_CHANGED|EMPTY_RESPONSE|PROXY_CONNECTION_FAILED|CONNECTION_(RESET|CLOSED))/;

export class Visitor {
  #context;
  #wire;
  #server;
  #wrong = [];
  #answer = 0;
  #allowScripts = async () => {};
  /** Whether the line was ever taken away, and which answers to scripts are part of the story. */
  #wasAway = false;
  #expected = new Set();

  /** Comes to `server` with `browser` in a certain way; `leave` must be called in the end. */
  static async arrive(browser, server, way) {
    const visitor = new Visitor();
    visitor.#server = server;
    visitor.way = way;
    visitor.#wire = await openWire();
    visitor.#context = await browser.newContext({
      proxy: { server: visitor.#wire.server },
      viewport: way.size,
      colorScheme: way.theme,
      hasTouch: way.size.width < 600,
      locale: "en-GB",
      timezoneId: "Europe/London",
      acceptDownloads: true,
    });
    visitor.#context.setDefaultTimeout(PATIENCE_MS);
    visitor.page = await visitor.#context.newPage();
    visitor.#watch();
    if (!way.javaScript) await visitor.#withoutJavaScript();
    return visitor;
  }

  /** Done by hand: the checks of a page need timers, so they are let run for that long. */
  async #withoutJavaScript() {
    const devtools = await this.#context.newCDPSession(this.page);
    this.#allowScripts = (may) => devtools.send("Emulation.setScriptExecutionDisabled", { value: !may });
    await this.#allowScripts(false);
  }

  #watch() {
    const { page } = this;
    page.on("console", (message) => {
      const text = message.text();
      const lost = this.#wasAway && AWAY.test(text);
      if (["error", "warning"].includes(message.type()) && !ANSWER.test(text) && !lost) {
        this.#wrong.push(`console: ${text}`);
      }
    });
    page.on("pageerror", (error) => this.#wrong.push(`script: ${error.message}`));
    page.on("request", (request) => {
      const { protocol, origin } = new URL(request.url());
      // A page of the browser's own, such as what it shows a PDF with, leaves for nowhere.
      const isOwn = ["data:", "chrome:", "chrome-extension:"].includes(protocol);
      if (!isOwn && origin !== this.#server.origin) {
        this.#wrong.push(`a request left for ${request.url()}`);
      }
    });
    page.on("response", (response) => {
      const isPage = response.request().isNavigationRequest();
      if (isPage) this.#answer = response.status();
      const expected = isPage || this.#expected.has(response.status());
      if (response.status() >= 500 || (response.status() >= 400 && !expected)) {
        this.#wrong.push(`${response.url()} answered ${response.status()}`);
      }
    });
  }

  /** Fails if anything went wrong since the last look, or if the page does not hold what every page must. */
  async #arrived(status) {
    await this.page.waitForLoadState("load");
    const where = this.page.url();
    assert.equal(this.#answer, status, `${where} answered ${this.#answer}: ${await this.#text()}`);
    await this.#allowScripts(true);
    await checkPage(this.page);
    await this.#allowScripts(false);
    assert.deepEqual(this.#wrong, [], `on the way to ${where}`);
  }

  async #text() {
    return (await this.page.locator("main").innerText().catch(() => "")).slice(0, 2000);
  }

  /** Takes the line away, or gives it back. */
  async line(there) {
    this.#wasAway ||= !there;
    this.#wire.lets(there);
    await this.#context.setOffline(!there);
  }

  /** Closes the tab, and opens another in the same browser. */
  async newTab() {
    await this.page.close();
    this.page = await this.#context.newPage();
    this.#watch();
  }

  /** The sign-in ends without a word. */
  async losesSignIn() {
    await this.#context.clearCookies();
  }

  /** From now on scripts may be answered so. */
  expects(...statuses) {
    for (const status of statuses) this.#expected.add(status);
  }

  /** What the API says there. */
  async json(path) {
    const answer = await this.#context.request.get(new URL(path, this.#server.origin).href);
    return answer.json();
  }

  /** Looks at the page as it stands now, as after an arrival. */
  async looks() {
    await checkPage(this.page);
    assert.deepEqual(this.#wrong, []);
  }

  /** Types an address. */
  async open(path, { status = 200 } = {}) {
    await this.page.goto(new URL(path, this.#server.origin).href);
    await this.#arrived(status);
  }

  /** Whether a page answers there, and not a file to keep. */
  async isPage(path) {
    const answer = await this.#context.request.get(new URL(path, this.#server.origin).href);
    return (answer.headers()["content-type"] ?? "").startsWith("text/html");
  }

  /** Where the links of this page lead, as far as it is to this server. */
  async links() {
    const links = this.page.getByRole("link", { includeHidden: true });
    const found = await links.evaluateAll((all) => all.map((link) => new URL(link.getAttribute("href") ?? "", document.baseURI).href));
    const ours = found.map((href) => new URL(href)).filter((url) => url.origin === this.#server.origin);
    return ours.map((url) => url.pathname + url.search);
  }

  /** Does what leads to another page, and looks at that page. */
  async #go(action, status) {
    const arrival = this.page.waitForEvent("framenavigated", {
      predicate: (frame) => frame === this.page.mainFrame(),
      // Longer than the action's own, whose complaint says more.
      timeout: 3 * PATIENCE_MS,
    });
    await Promise.all([arrival, action()]);
    await this.#arrived(status);
  }

  /** Presses a button that leads on. */
  async press(name, { within = this.page, status = 200 } = {}) {
    await this.#go(() => within.getByRole("button", named(name)).click(), status);
  }

  /** Lets every line of a checklist without an answer pass: here where scripts run, else by way of the server. */
  async letsTheRestPass() {
    const name = "All the rest pass";
    if (!this.way.javaScript) return this.press(name);
    await this.page.getByRole("button", { name }).click();
  }

  /** Follows a link. */
  async follow(name, { within = this.page, status = 200 } = {}) {
    await this.#go(() => within.getByRole("link", named(name)).click(), status);
  }

  /** Follows a link of the navigation; on a phone some of them are behind one for the rest. */
  async section(name) {
    const within = this.page.getByRole("navigation", { name: "Sections" });
    if (!(await within.getByRole("link", named(name)).isVisible())) await within.getByText("More").click();
    await this.follow(name, { within });
  }

  /** Follows a link of the page that gives a file; gives the file's name and its text. */
  async take(name) {
    const link = this.page.getByRole("main").getByRole("link", named(name));
    const coming = this.page.waitForEvent("download", { timeout: 3 * PATIENCE_MS });
    const [file] = await Promise.all([coming, link.click()]);
    return { name: file.suggestedFilename(), text: readFileSync(await file.path(), "utf8") };
  }

  /** Opens a choice of forms and takes a file in one of them. */
  async takeAs(words, form) {
    const choices = this.page.getByRole("main").locator("summary");
    await choices.filter({ hasText: new RegExp(`^${escape(words)}$`) }).click();
    return this.take(`${words} as ${form}`);
  }

  /** The field with this label; what stands behind the label in brackets is a remark. */
  field(label, within = this.page) {
    return within.getByLabel(typeof label === "string" ? new RegExp(`^${escape(label)}( \\(.*\\))?$`) : label);
  }

  /** Writes into a field. */
  async write(label, text, within) {
    await this.field(label, within).fill(text);
  }

  /** Chooses a line of a list by its words; what stands behind them in brackets is a remark. */
  async choose(label, words, within) {
    const field = this.field(label, within);
    const offered = await field.getByRole("option").allInnerTexts();
    const bare = (line) => line.replace(/ \([^()]*\)$/, "");
    const found = words instanceof RegExp ? offered.find((line) => words.test(line)) : (offered.find((line) => line === words) ?? offered.find((line) => bare(line) === words));
    assert.ok(found, `"${label}" offers no ${words}, but: ${offered.join(" | ")}`);
    await field.selectOption({ label: found });
  }

  /** Chooses a line of a filter and presses the button beside it: a choice alone must lead nowhere. */
  async narrow(label, words, button = "Search") {
    if (!(await this.field(label).isVisible())) await this.page.getByText("Filters", { exact: true }).click();
    await this.choose(label, words);
    await this.press(button);
  }

  /** Presses a button that adds an empty row to a form: at once, or by way of the server. */
  async more(name) {
    if (this.way.javaScript) {
      await this.page.getByRole("button", named(name)).click();
    } else {
      await this.press(name);
    }
  }

  /** A group of fields, by its heading. */
  group(name) {
    return this.page.getByRole("group", named(name));
  }

  /** The marks, or whatever else names the rows, of the table with this caption. */
  async rows(caption) {
    const table = this.page.getByRole("table", { name: caption });
    return (await table.getByRole("rowheader").allInnerTexts()).map((text) => text.split("\n")[0].trim());
  }

  /** Ticks a box or a choice. */
  async tick(label, within) {
    await this.field(label, within).check();
  }

  /** Attaches a file. */
  async attach(label, name, buffer) {
    await this.field(label).setInputFiles({ name, mimeType: "application/octet-stream", buffer });
  }

  /** Sends a form past the pages, as a page of this server would, and gives the status. */
  async sends(path, form) {
    const headers = { origin: this.#server.origin };
    const answer = await this.#context.request.post(new URL(path, this.#server.origin).href, { form, headers });
    return answer.status();
  }

  /** The words of a heading. */
  async heading(name) {
    return this.page.getByRole("heading", named(name)).innerText();
  }

  /** Waits until what is asked in the page holds. A promise is waited for, which `page.waitForFunction` takes for a yes. */
  async until(holds, given) {
    const end = Date.now() + 3 * PATIENCE_MS;
    while (!(await this.page.evaluate(holds, given))) {
      assert.ok(Date.now() < end, `${this.page.url()}: still not so: ${holds}`);
      await this.page.waitForTimeout(50);
    }
  }

  /** Fails unless the page says this, at once or soon. */
  async reads(text, within = this.page.locator("body")) {
    const told = pattern(text);
    const until = Date.now() + SAID_WITHIN_MS;
    let all = await words(within);
    while (!told.test(all) && Date.now() < until) {
      await this.page.waitForTimeout(50);
      all = await words(within);
    }
    assert.ok(told.test(all), `${this.page.url()} does not say ${text}, but: ${all}`);
  }

  /** Fails if the page says this. */
  async readsNot(text, within = this.page.locator("body")) {
    const all = await words(within);
    assert.ok(!pattern(text).test(all), `${this.page.url()} says ${text}: ${all}`);
  }

  /** Fails unless the answer on top of the page says this. */
  async answer(text) {
    await this.reads(text, this.page.getByRole("group", { name: "Answer" }).first());
  }

  /** Signs in with what the program printed or with what was chosen. */
  async signIn({ name, password }) {
    await this.open("/sign-in");
    await this.write("Sign-in name", name);
    await this.write("Password", password);
    await this.press("Sign in");
  }

  /** Keeps a picture of what is on the screen, for people who want to see the run and for the README. */
  async picture(name) {
    await this.page.screenshot({ path: join(OUT, `${name}.png`), animations: "disabled" });
  }

  /** Goes away; fails if anything went wrong after the last page, unless the story has failed already. */
  async leave(failed = false) {
    await this.#context.close();
    await this.#wire.close();
    if (!failed) assert.deepEqual(this.#wrong, []);
  }
}

/** What can be read there, on one line. */
async function words(place) {
  return (await place.innerText()).replace(/\s+/g, " ");
}

function pattern(text) {
  return text instanceof RegExp ? text : new RegExp(escape(text));
}

function escape(text) {
  return text.replace(/[.*+?^${}()|[\]\\]/g, "\\$&");
}

/** A name is taken whole, so that "Add" is not "Add a model". */
function named(name) {
  return name instanceof RegExp ? { name } : { name, exact: true };
}
