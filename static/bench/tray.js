// The bench: a scan opens the sheet of an item, its verdict is kept and sent, and the next is scanned. Without this the
// same forms go to the server one by one.
"use strict";

(() => {
  const region = document.querySelector("[data-bench]");
  if (!region || !globalThis.indexedDB) return;
  const { kept, missed, photo, queue, scan, sheet, taken, tally } = ropeloft;
  const opening = region.querySelector("[data-open]");
  const tray = region.querySelector("[data-tray]");
  const said = region.querySelector("[data-said]");
  const lists = document.querySelector("[data-lists]");
  const begun = document.querySelector("[data-begun]");
  const recorded = document.querySelector("[data-recorded]");
  /** The item whose sheet is open: its id and mark, and the id of the record that it makes. */
  let open;
  /** What was scanned or chosen last, with `done` once its sheet is there or none is found; no other sheet is laid then. */
  let wanted = { name: "", codes: [], done: true };
  /** The item that was laid aside for it, without a verdict; and the key that was pressed before the new sheet came. */
  let left;
  let early = "";
  /** The record that the line at the top speaks of. */
  let spoken;
  const { ask, parsed, sheetsOf } = taken;
  /** What was answered last, for the next of the same list. */
  let before;

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

  /* Opening an item. */

  const say = (...what) => said.replaceChildren(...what);
  const paragraph = (words) => Object.assign(document.createElement("p"), { textContent: words });

  /** From the scan on nothing has a verdict until its own sheet is there: what lies open is laid aside, as it is. */
  const begins = (name, codes = []) => {
    wanted = { name, codes, done: false };
    early = "";
    if (open) {
      left = open;
      missed.add({ of: open.id, name: open.mark, words: `${open.mark}: opened, no verdict.` });
    }
    open = undefined;
    tray.replaceChildren();
    opening.elements.code.value = "";
    say(paragraph(`Looking for ${name}.`));
    return wanted;
  };

  /** Says how a scan ended, and what was laid aside for it. */
  const ends = (...what) => {
    wanted.done = true;
    const aside = left ? [paragraph(`${left.mark} was opened and has no verdict.`), reopens(left)] : [];
    say(...(early ? [paragraph(early)] : []), ...what, ...aside);
    early = "";
  };
  const reopens = ({ id, mark }) => button(`Open ${mark} again`, () => show(id, mark));

  /** Warns of a key of a verdict that was about no sheet. */
  const pressedEarly = (key) => {
    if (!wanted.done) early = `${key} was pressed before the sheet of ${wanted.name} was here: no verdict is recorded.`;
    const why = open ? `it stands in the field for codes, so ${open.mark} has no verdict yet.` : "no sheet is open, so no verdict is recorded.";
    said.querySelector("[data-early]")?.remove();
    const words = paragraph(wanted.done ? `${key}: ${why}` : early);
    words.dataset.early = "";
    said.prepend(words);
  };

  /** Opens the item of this id: as the server has it now, or as it was taken along. */
  const show = async (id, mark) => {
    const turn = begins(mark);
    const own = await kept.get("sheets", id);
    const found = await ask(`item=${encodeURIComponent(id)}`, own ? 2_500 : 15_000);
    if (turn !== wanted) return;
    const fresh = found?.page && sheetsOf(found.page)[0];
    if (found?.words) return ends(paragraph(found.words));
    if (!fresh && !own) return ends(paragraph("There is no line, and this item was not taken along."));
    await lay(fresh ?? own, turn);
  };

  /** The sheets that a code, a mark or a serial leads to; or what to say where there are none. */
  const find = async (code) => {
    const own = scan.matches(code, await kept.all("sheets"));
    const found = await ask(`code=${encodeURIComponent(code)}`, own.length ? 2_500 : 15_000);
    if (found?.words) return { sheets: [], words: found.words };
    const sheets = found?.page ? sheetsOf(found.page) : own;
    return { sheets, words: "There is no line, and nothing that was taken along has this code, mark or serial." };
  };

  /** Opens what was scanned; where a key may have been pressed before it, it is asked which of two codes is meant. */
  const scanned = async ({ codes, button: verdict }) => {
    verdict?.click();
    const [code] = codes;
    const turn = begins(code, codes);
    const found = await Promise.all(codes.map(find));
    if (turn !== wanted) return passedOver(turn);
    const sheets = new Map(found.flatMap((one) => one.sheets).map((one) => [one.id, one]));
    if (sheets.size === 1) return lay([...sheets.values()][0], turn);
    if (sheets.size > 1) return choose([...sheets.values()], turn);
    unknown(code, found[0].words);
  };

  const passedOver = ({ name, codes }) => {
    if (codes.length) missed.add({ name, words: `not opened: ${name}. The next was scanned before its sheet was here.` });
  };

  const unknown = (code, words) => {
    const link = Object.assign(document.createElement("a"), {
      href: `/scan?code=${encodeURIComponent(code)}`, textContent: "What this code says, and putting it on an item",
    });
    missed.add({ name: code, words: `not found: ${code}. ${words}` });
    ends(paragraph(`${code}: ${words}`), link);
    if (scan.isTyping()) return;
    scan.forget();
    opening.elements.code.value = code;
    opening.elements.code.focus();
    opening.elements.code.select();
  };

  const choose = (sheets, turn) => {
    const lays = (one) => () => turn === wanted && lay(one, turn);
    missed.add({ name: turn.name, words: `not opened: ${turn.name}. Several items may be meant by it.` });
    ends(paragraph("Several items may be meant by this. Which is it?"), ...sheets.map((one) => button(one.mark, lays(one))));
    if (!scan.isTyping()) said.querySelector("button").focus();
  };

  const button = (words, press) => {
    const made = Object.assign(document.createElement("button"), { type: "button", textContent: words });
    made.addEventListener("click", press);
    return made;
  };

  /** Lays a sheet on the bench, with what was begun on it; unless something else is wanted by now. */
  const lay = async (one, turn) => {
    // One that this device has no room for is opened all the same.
    await kept.put("sheets", one.id, one).catch(() => {});
    const [article] = parsed(one.html).body.children;
    const next = await prepared(article, one);
    // What a scanner types at this moment goes on in the field.
    await scan.still();
    if (turn !== wanted) return passedOver(turn);
    open = next;
    tray.replaceChildren(article);
    scan.show(tray);
    missed.right(turn.codes, one.id);
    if (left?.id === one.id) left = undefined;
    ends();
    left = undefined;
    if (scan.isTyping()) return;
    scan.forget();
    opening.elements.code.value = "";
    article.focus();
  };

  /** Makes a sheet ready for keys and fingers; gives what is open with it. */
  const prepared = async (article, { id, mark }) => {
    const form = article.querySelector("form");
    const draft = await kept.get("drafts", id);
    const next = { id, mark, record: draft?.record ?? uuid() };
    sheet.narrow(form, isThorough());
    await photo.lay(form, next, () => keepDraft(form, next));
    if (draft) restore(form, draft);
    form.querySelector("[data-same]").hidden = before?.edition !== article.dataset.edition;
    sheet.judge(form, isThorough());
    return next;
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
      await show(draft.id, draft.mark);
      await status();
    });
    form.prepend(Object.assign(document.createElement("div"), { className: "acts" }));
    form.firstElementChild.append(paragraph(`What you had begun at ${at} is here again.`), anew);
  };

  /* Typing, and the verdict. */

  const keepDraft = (form, { id, mark, record }) =>
    kept.put("drafts", id, { id, mark, record, fields: sheet.read(form), at: Date.now() });

  tray.addEventListener("input", (event) => {
    if (!open) return;
    event.target.closest(".field")?.querySelector("[data-complained]")?.remove();
    const form = tray.querySelector("form");
    keepDraft(form, open);
    sheet.judge(form, isThorough());
  });

  tray.addEventListener("click", (event) => {
    if (!event.target.closest("[data-same]") || !before || !open) return;
    const form = tray.querySelector("form");
    sheet.write(form, before.answers);
    for (const note of form.querySelectorAll(".seen input")) {
      if (note.value) note.closest(".criterion").classList.add("noted");
    }
    keepDraft(form, open);
    sheet.judge(form, isThorough());
    form.querySelector(".verdicts [value=fit]").focus();
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
      : [["Choose a verdict.", form.querySelector(".verdicts [value=fit]")]];
    if (found.length) {
      spoken = undefined;
      say(paragraph(`${open.mark}: no verdict is recorded. ${found.map(([sentence]) => sentence).join(" ")}`));
      return sheet.complain(form, found);
    }
    const { id, mark, record } = open;
    const answers = sheet.again(sheet.read(form));
    before = answers && { edition: tray.firstElementChild.dataset.edition, answers };
    const entry = {
      id: record, of: id, mark, label: `${mark}: ${WORDS[verdict]}`, open: `/bench?item=${id}`,
      url: `/api/v1/items/${id}/examinations?id=${record}`, body: sheet.body(form, verdict, sitting()), fields: sheet.read(form),
    };
    const turn = wanted;
    open = undefined;
    const photos = await photo.sendable(record, form);
    try {
      await queue.add(entry, ["drafts"], (stores) => {
        stores.drafts.delete(kept.key(id));
        for (const one of photos) stores.queue.put(one);
      });
    } catch {
      if (turn === wanted) open = { id, mark, record };
      return say(paragraph(`${mark}: no verdict is recorded, for this device keeps nothing more. Make room, and give it again.`));
    }
    missed.right([], id);
    // What was scanned meanwhile has the bench.
    if (turn === wanted) {
      tray.replaceChildren();
      spoken = record;
      say(paragraph(`${entry.label}.`));
      opening.elements.code.focus();
    }
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
    await show(entry.of, entry.mark);
  };

  /* How far the tray is. */

  const status = async () => {
    const refused = await tally.show({ lists, recorded, begun }, (draft) => button(draft.mark, () => show(draft.id, draft.mark)));
    const gone = refused.find((one) => one.id === spoken);
    if (!gone) return;
    spoken = undefined;
    say(paragraph(`${gone.mark}: no verdict is recorded, for it was not taken. ${gone.said.join(" ")}`));
  };
  document.addEventListener("queue:changed", status);
  document.addEventListener("queue:sent", ({ detail }) => {
    if (detail.answer?.waits_for) said.append(paragraph(`${detail.entry.mark}: ${detail.answer.waits_for}`));
  });

  /* Beginning. */

  opening.addEventListener("submit", (event) => {
    event.preventDefault();
    const code = opening.elements.code.value;
    if (code.trim()) scanned(scan.read(code));
  });
  opening.addEventListener("change", sittingChanged);
  region.addEventListener("keydown", (event) => {
    if (event.key === "Escape" && tray.contains(event.target)) opening.elements.code.focus();
  });

  const begin = async () => {
    restoreSitting();
    sittingChanged();
    scan.listen(region, opening.elements.code, { early: pressedEarly, isAwaited: () => !wanted.done, scanned });
    scan.tie(region.querySelector("[data-keys] input"), tray);
    const there = tray.querySelector("[data-sheet]");
    await missed.tie(region.querySelector("[data-missed]"), (one) => (one.of ? show(one.of, one.name) : scanned({ codes: [one.name] })));
    if (there) open = await prepared(there, sheetsOf(tray)[0]);
    scan.show(tray);
    const asked = new URLSearchParams(location.search);
    if (!there && asked.get("item")) await show(asked.get("item"), "this item");
    else if (!there && asked.get("code")) await scanned({ codes: [asked.get("code")] });
    await taken.tie(lists, show);
    await status();
    await taken.carry();
    await status();
  };
  begin();
})();
