// Takes the pages of a job along, so that they open where there is no line, and keeps what is signed and counted there.
//
// The worker keeps the pages; one that it gives from what it kept bears `data-kept` with the moment, on its root. A form
// with `data-later`, which is what people call it, is sent to the same address of the API once there is a line, under an
// id of its own.
"use strict";

(() => {
  const { queue } = ropeloft;
  const root = document.documentElement;
  const main = document.querySelector("#main");
  const nav = document.querySelector("nav[aria-label='Pages of this job']");
  /** Pages of a job that are of no use without a line. */
  const STAYS = /\/(what-if|history)$/;
  /** How long is waited for a sign that there is a line. */
  const PATIENCE_MS = 4_000;
  if (!ropeloft.person || !main || !globalThis.indexedDB) return;

  const made = (name, words = "", attributes = {}) => {
    const element = document.createElement(name);
    element.textContent = words;
    for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
    return element;
  };
  /** A moment as every page writes one, on the team's clocks. */
  const when = (moment) => {
    const timeZone = root.dataset.clocks || Intl.DateTimeFormat().resolvedOptions().timeZone;
    const parts = new Intl.DateTimeFormat("en", { timeZone, timeZoneName: "short" }).formatToParts(new Date(moment));
    const short = parts.find((part) => part.type === "timeZoneName")?.value ?? timeZone;
    return `${shown(new Date(moment), timeZone).replace("T", " ")} ${short}`;
  };

  /** Gives the pages of this job to the worker. */
  const takeAlong = async () => {
    if (!navigator.serviceWorker || !nav) return;
    const { active, files } = await ropeloft.worker();
    const links = [...nav.querySelectorAll("a[href^='/jobs/']")].map((link) => link.getAttribute("href"));
    active.postMessage({ along: { pages: links.filter((href) => !STAYS.test(href)), files } });
  };

  /** Why what was asked for does not open. */
  const notHere = () => {
    const { pathname, search } = location;
    if (pathname.endsWith("/what-if")) return "what would be if is worked out by the server: ask it again where there is a line.";
    if (pathname.endsWith(".pdf")) return "this file is not on this device: it is taken along with its page where there is a line.";
    if (new URLSearchParams(search).has("phase")) return "this drawing is not on this device: it is taken along with its page where there is a line.";
    return "the page that you asked for is not on this device.";
  };

  /** Says at each way on from a kept page that leads to nothing here: to other pages, to items, to files. */
  const sayWhere = async () => {
    for (const link of main.querySelectorAll("a[href^='/']")) {
      if (link.getAttribute("href") === "/along" || (await caches.match(link.href))) continue;
      link.append(" ", made("span", "(needs a line)", { class: "quiet small after" }));
    }
  };

  /** Says on top that this is how it stood then. */
  const sayKept = () => {
    const said = made("section", "", { class: "cautions", "aria-label": "Kept on this device", "data-kept-said": "" });
    const missing = root.dataset.missing;
    const words = missing
      ? `There is no line, and ${notHere()} What is on this device stands below.`
      : `There is no line. This is how it stood on ${when(Number(root.dataset.kept))}, as kept on this device; what changed since is not on it.`;
    said.append(made("p", words, { role: "status" }));
    if (!missing) said.append(made("a", "What is on this device", { href: "/along" }));
    main.querySelector("h1")?.after(said);
  };

  /** Lists the jobs on this device. */
  const list = async () => {
    const place = document.querySelector("[data-along-list]");
    if (!place || !globalThis.caches) return;
    const cache = await caches.open("ropeloft-jobs");
    for (const request of await cache.keys()) {
      const { pathname } = new URL(request.url);
      if (!/^\/jobs\/[^/]+$/.test(pathname)) continue;
      const answer = await cache.match(request);
      const page = new DOMParser().parseFromString(await answer.text(), "text/html");
      const line = made("li");
      line.append(made("a", page.querySelector("h1")?.textContent.trim() || pathname, { href: pathname }));
      line.append(made("span", `as it stood on ${when(answer.headers.get("date") ?? Date.now())}`, { class: "quiet small below" }));
      place.append(line);
    }
    document.querySelector("[data-along-none]").hidden = place.children.length > 0;
  };

  /** Whether the server can be reached. */
  const isThere = async () => {
    if (!navigator.onLine) return false;
    try {
      return (await fetch("/health", { cache: "no-store", signal: AbortSignal.timeout(PATIENCE_MS) })).ok;
    } catch {
      return false;
    }
  };

  /**
   * What is typed in a form, nested as the API takes it: `lines[7][note]` is `note` of `7` of `lines`, and a number at the
   * end is a place in a list, `values[1]`.
   */
  const typed = (form) => {
    const body = {};
    for (const [name, text] of new FormData(form)) {
      if (typeof text !== "string" || text === "") continue;
      const [first, ...rest] = name.replaceAll("]", "").split("[");
      const path = [first, ...rest];
      let place = body;
      const last = path.at(-1);
      const isList = path.length > 1 && /^\d+$/.test(last);
      for (const [at, key] of path.slice(0, -1).entries()) place = place[key] ??= isList && at === path.length - 2 ? [] : {};
      // What is left out before it is empty, and keeps its place.
      if (isList) while (place.length < Number(last)) place.push("");
      place[last] = text;
    }
    return body;
  };

  /** A moment as the clocks of a zone show it, `2026-03-01T08:00`; in Swedish a date is written as in ISO 8601. */
  const shown = (moment, timeZone) =>
    new Date(moment).toLocaleString("sv", { timeZone, dateStyle: "short", timeStyle: "short" }).replace(" ", "T");

  /** The moment at which the clocks of a zone show a time; the first of two, and none for a time that they jump over. */
  const moment = (text, zone) => {
    const asUtc = Date.parse(`${text}Z`);
    const day = 86_400_000;
    const offsets = [asUtc - day, asUtc + day].map((near) => Date.parse(`${shown(near, zone)}Z`) - near);
    const found = offsets.map((offset) => asUtc - offset).filter((at) => shown(at, zone) === text);
    return found.length ? Math.min(...found) : undefined;
  };

  /** Writes down when it was done, on the team's clocks. What is done now is sent later: the time is written down now. */
  const putTimes = (form, body) => {
    const { zone } = form.dataset;
    const at = form.elements.namedItem("at");
    if (at) {
      const done = body.at ? moment(body.at.slice(0, 16), zone) : Date.now();
      const wrong =
        done === undefined
          ? `There is no such time on the clocks of ${zone}.`
          : done > Date.now() + 60_000
            ? "This is still to come: write when it was done."
            : "";
      at.setCustomValidity(wrong);
      if (!at.reportValidity()) return false;
      body.at = new Date(done).toISOString();
    }
    if (form.elements.namedItem("on")) body.on ??= shown(Date.now(), zone).slice(0, 10);
    return true;
  };

  /** How an item came back that cannot go without a word on what was seen. */
  const TOLD = ["look-at", "damaged"];

  /** What the server would not take, asked for before it is kept: the first field that lacks something, and what. */
  const lacking = (form, body) => {
    for (const [id, line] of Object.entries(body.lines ?? {})) {
      if (TOLD.includes(line.condition) && !line.note?.trim()) {
        return [form.elements.namedItem(`lines[${id}][note]`), "Write what was seen on it."];
      }
    }
    const hours = form.elements.namedItem("hours");
    if (hours && ![body.hours, body.uses, body.loads].some((text) => text?.trim())) {
      return [hours, "Write at least one of hours, times used and loads; 0 where it was not used."];
    }
    for (const radio of form.querySelectorAll("input[type=radio][name^='answers['][name$='[answer]']")) {
      if (![...form.elements.namedItem(radio.name)].some((one) => one.checked)) return [radio, "Look, then answer right or not right."];
    }
    return undefined;
  };

  /** Whether the form lacks nothing; else the field says what. */
  const isWhole = (form, body) => {
    const [field, words] = lacking(form, body) ?? [];
    if (!field) return true;
    for (let part = field.closest("details"); part; part = part.parentElement.closest("details")) part.open = true;
    field.setCustomValidity(words);
    form.addEventListener("input", () => field.setCustomValidity(""), { once: true });
    field.reportValidity();
    field.focus();
    return false;
  };

  /** Where the API takes what a form writes. */
  const target = (form) => `/api/v1${new URL(form.action).pathname}`;

  /** What was kept for the same as this form and was not taken, the last first. */
  const refusedOf = async (form) => {
    const all = await queue.entries();
    return all.filter((entry) => entry.state === "refused" && entry.url.split("?")[0] === target(form)).reverse();
  };

  const keepForLater = async (form, refused, reached) => {
    const body = typed(form);
    if (!isWhole(form, body) || !putTimes(form, body)) return;
    const id = crypto.randomUUID();
    const label = form.dataset.later;
    const url = `${target(form)}?id=${id}`;
    const said = made("div", "", { class: "sheet", role: "status", "data-kept-entry": id });
    said.append(made("h2", reached ? "Being sent" : "Kept on this device"));
    const why = reached ? "it is being sent." : "there is no line. It is sent as soon as there is one, and recorded once.";
    said.append(made("p", `${label}: ${why}`));
    form.replaceWith(said);
    said.tabIndex = -1;
    said.focus();
    // What was not taken before goes in the stroke in which this takes its place.
    await queue.add({ id, url, body, label, of: url, open: location.pathname }, [], (open) => {
      for (const entry of refused) open.queue.delete(entry.key);
    });
  };

  for (const form of document.querySelectorAll("form[data-later]")) {
    form.addEventListener("submit", async (event) => {
      if (event.submitter?.name || form.dataset.sent === "yes") return;
      event.preventDefault();
      const refused = await refusedOf(form);
      const reached = await isThere();
      if (reached && refused.length === 0) {
        form.dataset.sent = "yes";
        form.submit();
      } else {
        await keepForLater(form, refused, reached);
      }
    });
  }

  // What a kept page has of other forms is sent where there is a line alone, too.
  if (root.dataset.kept) {
    for (const form of main.querySelectorAll("form:not([data-later], [data-needs-line])")) {
      form.dataset.needsLine = "This needs a line to the server: nothing was sent, and what is typed stays here.";
    }
  }

  /** Says at each button that leads to nothing without a line that it needs one, while there is none. */
  const sayWhatNeedsLine = () => {
    const away = Boolean(root.dataset.kept) || !navigator.onLine;
    for (const form of document.querySelectorAll("form[data-needs-line]")) {
      for (const button of form.querySelectorAll("button:not(.only-read, [type=button])")) {
        const said = button.querySelector("[data-line-said]");
        if (away && !said) button.append(" ", made("span", "(needs a line)", { class: "small", "data-line-said": "" }));
        if (!away) said?.remove();
      }
    }
  };
  for (const change of ["online", "offline"]) window.addEventListener(change, sayWhatNeedsLine);

  // data-needs-line, which says so: what has a password in it is sent where there is a line, and else stays on the page.
  for (const form of document.querySelectorAll("form[data-needs-line]")) {
    form.addEventListener("submit", async (event) => {
      if (form.dataset.sent === "yes") return;
      event.preventDefault();
      form.querySelector("[data-no-line]")?.remove();
      if (await isThere()) {
        form.dataset.sent = "yes";
        const { name, value } = event.submitter ?? {};
        if (name) form.append(made("input", "", { type: "hidden", name, value }));
        form.submit();
        return;
      }
      const said = made("p", form.dataset.needsLine, { role: "alert", class: "wrong", "data-no-line": "" });
      const button = event.submitter ?? form.querySelector("button.main, button");
      if (button) button.before(said);
      else form.append(said);
    });
  }

  /** Each value of what was kept, under the name of its field: `lines[7][note]`. */
  const named = (body, before = "") =>
    Object.entries(body).flatMap(([key, value]) => {
      const name = before ? `${before}[${key}]` : key;
      return typeof value === "object" && value !== null ? named(value, name) : [[name, String(value)]];
    });

  /** Writes a value into the field of a name, whatever kind of field that is. */
  const write = (form, name, value) => {
    const field = form.elements.namedItem(name);
    if (!field) return;
    const text = name === "at" ? shown(value, form.dataset.zone) : value;
    if (field instanceof RadioNodeList) {
      field.value = text;
    } else if (field.type === "checkbox" || field.type === "radio") {
      field.checked = field.value === text;
    } else {
      field.value = text;
    }
    const first = field instanceof RadioNodeList ? field[0] : field;
    for (let part = first.closest("details"); part; part = part.parentElement.closest("details")) part.open = true;
  };

  /** Shows the box that confirms what was measured, where that was asked when it was sent; it is ticked for just what is typed. */
  const askAgain = (form, wrong) => {
    for (const place of form.querySelectorAll("[data-confirm]")) {
      const measured = [...place.closest(".criterion").querySelectorAll(".trio input")];
      if (!measured.some((field) => wrong.includes(field.name))) continue;
      const box = place.querySelector("input");
      box.value = "yes";
      place.hidden = false;
      for (const field of measured) field.addEventListener("input", () => (box.checked = false));
    }
  };

  /** Puts what was not taken back into its form, with everything that was typed. */
  const readBack = async () => {
    for (const form of document.querySelectorAll("form[data-later]")) {
      // What the server has just given back with its own words stands.
      if (form.querySelector(".wrong")) continue;
      const [entry] = await refusedOf(form);
      if (!entry?.body) continue;
      for (const [name, value] of named(entry.body)) write(form, name, value);
      askAgain(form, entry.wrong ?? []);
      const said = made("p", "", { role: "status", class: "sheet", "data-read-back": entry.id });
      const why = entry.said.join(" ");
      said.textContent = `${entry.label} was not taken, and all that was typed is in the form again. ${why} What is sent now takes its place.`;
      form.prepend(said);
    }
  };

  /** Says what became of it once it was sent: the page shows how it stood before. */
  document.addEventListener("queue:sent", ({ detail: { entry } }) => {
    if (!entry.open || entry.open !== location.pathname) return;
    const said = document.querySelector(`[data-kept-entry="${entry.id}"]`) ?? made("div", "", { class: "sheet", role: "status" });
    const link = made("p", "");
    link.append(made("a", "Open this page as it stands now", { href: location.pathname }));
    said.replaceChildren(made("h2", "Sent and recorded"), made("p", `${entry.label}: the server has it. What stands on this page is how it was before.`), link);
    if (!said.isConnected) main.querySelector("h1")?.after(said);
    document.querySelector("[data-kept-said]")?.remove();
  });

  /** Says that it was not taken, where it was just kept or sent from this page. */
  document.addEventListener("queue:changed", async () => {
    const said = document.querySelector("[data-kept-entry]");
    if (!said) return;
    const entry = (await queue.entries()).find((one) => one.id === said.dataset.keptEntry);
    if (entry?.state !== "refused") return;
    const link = made("p", "");
    link.append(made("a", "Back to the form, with all that was typed", { href: location.pathname }));
    said.replaceChildren(made("h2", "Not taken"), ...entry.said.map((words) => made("p", words)), link);
  });

  sayWhatNeedsLine();
  if (root.dataset.kept) {
    sayKept();
    sayWhere().catch(() => {});
  } else takeAlong().catch(() => {});
  readBack().catch(() => {});
  list().catch(() => {});
})();
