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
  const when = (moment) => new Date(moment).toLocaleString([], { dateStyle: "medium", timeStyle: "short" });

  /** Gives the pages of this job to the worker. */
  const takeAlong = async () => {
    if (!navigator.serviceWorker || !nav) return;
    const { active, files } = await ropeloft.worker();
    const links = [...nav.querySelectorAll("a[href^='/jobs/']")].map((link) => link.getAttribute("href"));
    active.postMessage({ along: { pages: links.filter((href) => !STAYS.test(href)), files } });
  };

  /** Says on top that this is how it stood then. */
  const sayKept = () => {
    const said = made("section", "", { class: "cautions", "aria-label": "Kept on this device" });
    const missing = root.dataset.missing;
    const words = missing
      ? "There is no line, and the page that you asked for is not on this device. What is stands below."
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

  /** What is typed in a form, nested as the API takes it: `lines[7][note]` is `note` of `7` of `lines`. */
  const typed = (form) => {
    const body = {};
    for (const [name, text] of new FormData(form)) {
      if (typeof text !== "string" || text === "") continue;
      const [first, ...rest] = name.replaceAll("]", "").split("[");
      const path = [first, ...rest];
      let place = body;
      for (const key of path.slice(0, -1)) place = place[key] ??= {};
      place[path.at(-1)] = text;
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

  const keepForLater = async (form) => {
    const body = typed(form);
    if (!putTimes(form, body)) return;
    const id = crypto.randomUUID();
    const label = form.dataset.later;
    const url = `/api/v1${new URL(form.action).pathname}?id=${id}`;
    await queue.add({ id, url, body, label, of: url, open: location.pathname });
    const said = made("div", "", { class: "sheet", role: "status" });
    said.append(made("h2", "Kept on this device"));
    said.append(made("p", `${label}: there is no line. It is sent as soon as there is one, and recorded once.`));
    form.replaceWith(said);
    said.tabIndex = -1;
    said.focus();
  };

  for (const form of document.querySelectorAll("form[data-later]")) {
    form.addEventListener("submit", async (event) => {
      if (event.submitter?.name || form.dataset.sent === "yes") return;
      event.preventDefault();
      if (await isThere()) {
        form.dataset.sent = "yes";
        form.submit();
      } else {
        await keepForLater(form);
      }
    });
  }

  if (root.dataset.kept) sayKept();
  else takeAlong().catch(() => {});
  list().catch(() => {});
})();
