// The bench: a scan opens the sheet of an item, its verdict is kept and sent, and the next is scanned. Without this the
// same forms go to the server one by one.
"use strict";

(() => {
  const region = document.querySelector("[data-bench]");
  if (!region || !globalThis.indexedDB) return;
  const { kept, photo, queue, scan, sheet } = ropeloft;
  const opening = region.querySelector("[data-open]");
  const tray = region.querySelector("[data-tray]");
  const said = region.querySelector("[data-said]");
  const lists = document.querySelector("[data-lists]");
  const begun = document.querySelector("[data-begun]");
  const recorded = document.querySelector("[data-recorded]");
  /** The item whose sheet is open: its id and mark, and the id of the record that it makes. */
  let open;
  /** What was answered last, for the next of the same list. */
  let before;
  /** Whether the worker has said that it keeps this page. */
  let pageIsKept = false;

  /* What is set once. */

  const THOROUGH = ["intake", "periodic", "after-event"];
  const SET = ["look", "on", "examiner", "place"];
  const sitting = () => Object.fromEntries(SET.map((name) => [name, opening.elements[name].value.trim()]));
  const isThorough = () => THOROUGH.includes(opening.elements.look.value);
  const today = () => {
    const parts = { timeZone: region.dataset.zone, year: "numeric", month: "2-digit", day: "2-digit" };
    return new Intl.DateTimeFormat("en-CA", parts).format(new Date());
  };

  const restoreSitting = () => {
    const { elements } = opening;
    // The page may have been kept since another day.
    if (elements.on.value === region.dataset.today) elements.on.value = today();
    if (new URLSearchParams(location.search).has("look")) return;
    const stored = JSON.parse(localStorage.getItem("ropeloft-sitting") ?? "{}");
    if (stored.person !== ropeloft.person) return;
    for (const name of SET) {
      if (name === "on" && stored.today !== today()) continue;
      if (stored[name]) elements[name].value = stored[name];
    }
    if (!elements.look.value) elements.look.selectedIndex = 0;
  };

  const sittingChanged = () => {
    const { look, on, examiner, place } = sitting();
    const words = [`${opening.elements.look.selectedOptions[0]?.textContent ?? look} on ${on}`];
    if (examiner) words.push(`by ${examiner}`);
    region.querySelector("[data-sitting-words]").textContent = words.join(" ") + (place ? `, ${place}` : "");
    localStorage.setItem("ropeloft-sitting", JSON.stringify({ ...sitting(), person: ropeloft.person, today: today() }));
    const form = tray.querySelector("form");
    if (!form) return;
    sheet.narrow(form, isThorough());
    sheet.judge(form, isThorough());
  };

  /* What is taken along. */

  /** The sheets in an answer of the server, as they are kept. */
  const sheetsOf = (page) =>
    [...page.querySelectorAll("[data-sheet]")].map((article) => ({
      key: kept.key(article.dataset.sheet),
      person: ropeloft.person,
      id: article.dataset.sheet,
      mark: article.dataset.mark,
      serial: article.dataset.serial,
      codes: article.dataset.codes.split("\n").filter(Boolean),
      html: article.outerHTML,
    }));

  const parsed = (html) => new DOMParser().parseFromString(html, "text/html");

  /** Asks the server for sheets. Gives the page; or what to say where there is none; or nothing where there is no line. */
  const ask = async (query, patience) => {
    let answer;
    try {
      answer = await fetch(`/bench/sheets?${query}`, { redirect: "manual", signal: AbortSignal.timeout(patience) });
    } catch {
      return undefined;
    }
    if (answer.type === "opaqueredirect" || answer.status >= 500) return undefined;
    const page = parsed(await answer.text());
    if (answer.ok) return { page };
    return { words: page.querySelector(".answer")?.textContent.trim() ?? `The server answered ${answer.status}.` };
  };

  const carry = async () => {
    const list = lists.querySelector("[data-list]");
    if (!list || lists.dataset.stored) return;
    const found = await ask(list.dataset.list, 60_000);
    if (!found?.page) return;
    const sheets = sheetsOf(found.page);
    const drafts = new Set((await kept.all("drafts")).map((draft) => draft.id));
    const stale = (await kept.all("sheets")).filter((one) => !drafts.has(one.id));
    await kept.change(["sheets", "lists"], (stores) => {
      for (const one of stale) stores.sheets.delete(one.key);
      for (const one of sheets) stores.sheets.put(one);
      stores.lists.put({
        key: kept.key("list"), person: ropeloft.person, html: list.outerHTML, query: list.dataset.list, at: Date.now(), size: sheets.length,
      });
    });
    await carried();
  };

  /** Says what this device has with it, and shows the list that was taken along where the page brought none. */
  const carried = async () => {
    const list = await kept.get("lists", "list");
    const brought = lists.querySelector("[data-list]");
    if (!list || (brought && brought.dataset.list !== list.query)) return;
    if (!brought) {
      lists.dataset.stored = "yes";
      lists.append(...parsed(list.html).body.children);
    }
    ropeloft.wayBack = () => `/bench?${list.query}`;
    const line = lists.querySelector("[data-carried]");
    const at = new Date(list.at).toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });
    const size = list.size === 1 ? "1 item is" : `${list.size} items are`;
    const where = pageIsKept ? "they open without a line too" : "while this page stays open they need no line";
    line.textContent = `${size} on this device as of ${at}; ${where}.`;
    line.hidden = false;
  };

  lists.addEventListener("click", async (event) => {
    const leave = event.target.closest("[data-leave]");
    const row = event.target.closest("[data-row] a");
    if (!leave && !row) return;
    event.preventDefault();
    if (row) return show(row.closest("[data-row]").dataset.row);
    const drafts = new Set((await kept.all("drafts")).map((draft) => draft.id));
    const sheets = (await kept.all("sheets")).filter((one) => !drafts.has(one.id));
    await kept.change(["sheets", "lists"], (stores) => {
      for (const one of sheets) stores.sheets.delete(one.key);
      stores.lists.delete(kept.key("list"));
    });
    location.assign(leave.href);
  });

  /* Opening an item. */

  const say = (...what) => said.replaceChildren(...what);
  const paragraph = (words) => Object.assign(document.createElement("p"), { textContent: words });

  /** Opens the item of this id: as the server has it now, or as it was taken along. */
  const show = async (id) => {
    const own = await kept.get("sheets", id);
    const found = await ask(`item=${encodeURIComponent(id)}`, own ? 2_500 : 15_000);
    const fresh = found?.page && sheetsOf(found.page)[0];
    if (found?.words) return say(paragraph(found.words));
    if (!fresh && !own) return say(paragraph("There is no line, and this item was not taken along."));
    await lay(fresh ?? own);
  };

  /** Opens what a code, a mark or a serial leads to. */
  const scanned = async (code) => {
    opening.elements.code.value = code;
    const own = scan.matches(code, await kept.all("sheets"));
    const found = await ask(`code=${encodeURIComponent(code)}`, own.length ? 2_500 : 15_000);
    if (found?.words) return unknown(code, found.words);
    const sheets = found?.page ? sheetsOf(found.page) : own;
    if (sheets.length === 1) return lay(sheets[0]);
    if (sheets.length > 1) return choose(sheets);
    unknown(code, "There is no line, and nothing that was taken along has this code, mark or serial.");
  };

  const unknown = (code, words) => {
    const link = Object.assign(document.createElement("a"), {
      href: `/scan?code=${encodeURIComponent(code)}`, textContent: "What this code says, and putting it on an item",
    });
    say(paragraph(words), link);
    opening.elements.code.focus();
    opening.elements.code.select();
  };

  const choose = (sheets) => {
    say(paragraph("Several items may be meant by this. Which is it?"), ...sheets.map((one) => button(one.mark, () => lay(one))));
    said.querySelector("button").focus();
  };

  const button = (words, press) => {
    const made = Object.assign(document.createElement("button"), { type: "button", textContent: words });
    made.addEventListener("click", press);
    return made;
  };

  /** Lays a sheet on the bench, with what was begun on it. */
  const lay = async (one) => {
    const left = open && open.id !== one.id ? open : undefined;
    await kept.put("sheets", one.id, one);
    tray.replaceChildren(...parsed(one.html).body.children);
    if (left) say(paragraph(`${left.mark} was opened and has no verdict.`), button(`Open ${left.mark} again`, () => show(left.id)));
    else say();
    opening.elements.code.value = "";
    await ready(one);
    tray.firstElementChild.focus();
  };

  const ready = async ({ id, mark }) => {
    const form = tray.querySelector("form");
    const draft = await kept.get("drafts", id);
    open = { id, mark, record: draft?.record ?? uuid() };
    sheet.narrow(form, isThorough());
    await photo.lay(form, open, keepDraft);
    if (draft) restore(form, draft);
    const same = form.querySelector("[data-same]");
    same.hidden = before?.edition !== tray.firstElementChild.dataset.edition;
    sheet.judge(form, isThorough());
    scan.show(tray);
  };

  const restore = (form, draft) => {
    sheet.write(form, draft.fields);
    for (const note of form.querySelectorAll(".seen input")) {
      if (note.value) note.closest(".criterion").classList.add("noted");
    }
    const at = new Date(draft.at).toLocaleString("sv", { dateStyle: "short", timeStyle: "short" });
    const anew = button("Begin anew", async () => {
      await kept.remove("drafts", draft.id);
      if (draft.record) await queue.discard(draft.record);
      await show(draft.id);
      await status();
    });
    form.prepend(Object.assign(document.createElement("div"), { className: "acts" }));
    form.firstElementChild.append(paragraph(`What you had begun at ${at} is here again.`), anew);
  };

  /* Typing, and the verdict. */

  const keepDraft = () => {
    const fields = sheet.read(tray.querySelector("form"));
    return kept.put("drafts", open.id, { id: open.id, mark: open.mark, record: open.record, fields, at: Date.now() });
  };

  tray.addEventListener("input", (event) => {
    if (!open) return;
    event.target.closest(".field")?.querySelector("[data-complained]")?.remove();
    keepDraft();
    sheet.judge(tray.querySelector("form"), isThorough());
  });

  tray.addEventListener("click", (event) => {
    if (!event.target.closest("[data-same]") || !before) return;
    const form = tray.querySelector("form");
    sheet.write(form, before.answers);
    for (const note of form.querySelectorAll(".seen input")) {
      if (note.value) note.closest(".criterion").classList.add("noted");
    }
    keepDraft();
    sheet.judge(form, isThorough());
    form.querySelector("[value=fit]").focus();
  });

  tray.addEventListener("submit", (event) => {
    event.preventDefault();
    record(event.target, event.submitter?.value ?? "");
  });

  const WORDS = { fit: "fit", quarantine: "to quarantine", retire: "to be retired" };

  const record = async (form, verdict) => {
    if (!open) return;
    const found = WORDS[verdict]
      ? [...sheet.faults(form, verdict, isThorough()), ...photo.faults(form)]
      : [["Choose a verdict.", form.querySelector("[value=fit]")]];
    if (found.length) return sheet.complain(form, found);
    const { id, mark, record } = open;
    const answers = sheet.again(sheet.read(form));
    before = answers && { edition: tray.firstElementChild.dataset.edition, answers };
    const entry = {
      id: record, of: id, mark, label: `${mark}: ${WORDS[verdict]}`, open: `/bench?item=${id}`,
      url: `/api/v1/items/${id}/examinations?id=${record}`, body: sheet.body(form, verdict, sitting()), fields: sheet.read(form),
    };
    open = undefined;
    const photos = await photo.sendable(record, form);
    await queue.add(entry, ["drafts"], (stores) => {
      stores.drafts.delete(kept.key(id));
      for (const one of photos) stores.queue.put(one);
    });
    tray.replaceChildren();
    say(paragraph(`${entry.label}.`));
    opening.elements.code.focus();
    await status();
  };

  /** A UUID of version 7: the time, then chance. */
  const uuid = () => {
    const bytes = crypto.getRandomValues(new Uint8Array(16));
    let time = Date.now();
    for (let at = 5; at >= 0; at -= 1) {
      bytes[at] = time % 256;
      time = Math.floor(time / 256);
    }
    bytes[6] = (bytes[6] & 0x0f) | 0x70;
    bytes[8] = (bytes[8] & 0x3f) | 0x80;
    const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
    return hex.replace(/^(.{8})(.{4})(.{4})(.{4})/, "$1-$2-$3-$4-");
  };

  /* What was not taken is looked at again: its record keeps its id, so that it is made once. */

  document.addEventListener("click", async (event) => {
    const link = event.target.closest("a[data-again]");
    if (!link) return;
    event.preventDefault();
    await lookAgain(link.dataset.again);
  });

  const lookAgain = async (id) => {
    const entry = (await queue.entries()).find((one) => one.id === id);
    if (!entry?.fields) return;
    const photos = await photo.of(entry.id);
    await kept.change(["queue", "drafts"], (stores) => {
      stores.queue.delete(entry.key);
      const { of, mark, id: record, fields, at } = entry;
      stores.drafts.put({ key: kept.key(of), person: ropeloft.person, id: of, mark, record, fields, at });
      for (const one of photos) stores.queue.put({ ...one, state: "held" });
    });
    document.dispatchEvent(new CustomEvent("queue:changed"));
    await show(entry.of);
  };

  /* How far the tray is. */

  const STATES = { waiting: "waits to be sent", refused: "not taken" };

  const status = async () => {
    const [all, done, drafts] = await Promise.all([queue.entries(), kept.all("done"), kept.all("drafts")]);
    const waiting = all.filter((one) => one.state !== "held");
    const rows = [...done.map((one) => [one, "recorded"]), ...waiting.map((one) => [one, STATES[one.state]])];
    rows.sort(([a], [b]) => b.at - a.at);
    for (const [one, state] of [...rows].reverse()) {
      const cell = lists.querySelector(`[data-row="${CSS.escape(one.of)}"] [data-done]`);
      if (!cell) continue;
      cell.textContent = `${one.label.split(": ").at(-1)}, ${state}`;
      cell.dataset.done = state === "not taken" ? "" : "yes";
      const due = cell.parentElement.querySelector("[data-label='Next examination']");
      if (due && state === "recorded") due.textContent = "as recorded now";
    }
    const cells = [...lists.querySelectorAll("[data-done]")];
    const progress = lists.querySelector("[data-progress]");
    const ready = cells.filter((cell) => cell.dataset.done).length;
    if (progress) progress.textContent = `${ready} of ${cells.length === 1 ? "1 item" : `${cells.length} items`} looked at.`;
    recorded.hidden = rows.length === 0;
    const item = (words) => Object.assign(document.createElement("li"), { textContent: words });
    const told = ([one, state]) => item(`${one.label}, ${state}${one.waits ? `. ${one.waits}` : ""}`);
    recorded.querySelector("ul").replaceChildren(...rows.slice(0, 60).map(told));
    const items = drafts.filter((draft) => !draft.form);
    begun.hidden = items.length === 0;
    begun.querySelector("div").replaceChildren(...items.map((draft) => button(draft.mark, () => show(draft.id))));
  };
  document.addEventListener("queue:changed", status);
  document.addEventListener("queue:sent", ({ detail }) => {
    if (detail.answer?.waits_for) said.append(paragraph(`${detail.entry.mark}: ${detail.answer.waits_for}`));
  });

  /* Beginning. */

  opening.addEventListener("submit", (event) => {
    event.preventDefault();
    const code = opening.elements.code.value;
    if (code.trim()) scanned(code);
  });
  opening.addEventListener("change", sittingChanged);
  region.addEventListener("keydown", (event) => {
    if (event.key === "Escape" && tray.contains(event.target)) opening.elements.code.focus();
  });

  const keepThePage = async () => {
    if (!navigator.serviceWorker) return;
    const { active, files } = await ropeloft.worker();
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = ({ data }) => {
      pageIsKept = data?.kept === true;
      carried();
    };
    active.postMessage({ keep: files }, [port2]);
  };

  const begin = async () => {
    restoreSitting();
    sittingChanged();
    scan.listen(region, scanned);
    scan.tie(region.querySelector("[data-keys] input"), tray);
    const there = tray.querySelector("[data-sheet]");
    if (there) await ready(sheetsOf(tray)[0]);
    const asked = new URLSearchParams(location.search);
    if (!there && asked.get("item")) await show(asked.get("item"));
    else if (!there && asked.get("code")) await scanned(asked.get("code"));
    await carried();
    await status();
    // Where it fails, the page goes on saying that it must stay open.
    keepThePage().catch(() => {});
    await carry();
    await status();
  };
  begin();
})();
