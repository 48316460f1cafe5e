// data-begun: what is typed in such a form stays on this device until the server has taken it, through a reload and a closed
// tab, for the person who typed it. Passwords, files and what is hidden are not kept.
//
// Kept is what differs from what the server gave, with what it gave. It is put back only where the server gives the same
// again, and only into the version that it was typed for: the revision in the form's address, and its data-own. Else it
// would be written over what somebody else has changed since; it is shown to be read, and goes into no field. What data-begun
// says tells forms apart that are sent to one address.
"use strict";

(() => {
  const { kept, person } = ropeloft;
  /** What nobody came back to is thrown away after so long. */
  const LONGEST_MS = 14 * 86_400_000;
  /** The form that was sent last from this tab, or left for good. */
  const SENT = "ropeloft-sent";
  const NOT_TYPED = ["hidden", "password", "file", "submit", "button", "fieldset"];
  if (!person || !globalThis.indexedDB) return;
  /** Who is signed in. A page that somebody went back to may still be that of whoever was before. */
  const SIGNED = "ropeloft-signed";
  if (performance.getEntriesByType("navigation")[0]?.type !== "back_forward") localStorage.setItem(SIGNED, person);
  const isOfOther = () => localStorage.getItem(SIGNED) !== person;
  const main = document.querySelector("#main");
  const forms = [...document.querySelectorAll("form[data-begun]")];
  /** Whether the server has given something back with its own words: what stands there was typed before this page. */
  const isGivenBack = main.querySelector(".wrong, .summary[role=alert], [data-problem], [data-stale]") !== null;
  /** What was kept of each form before this page. */
  const before = new Map();

  const addressOf = (form) => new URL(form.action).pathname;
  const idOf = (form) => `form ${addressOf(form)} ${form.dataset.begun}`;
  const versionOf = (form) => {
    const own = [...form.querySelectorAll("[data-own]")].map((field) => field.dataset.own);
    return [new URL(form.action).searchParams.get("revision"), ...own].join(" ");
  };

  const isChosen = (field) => ["radio", "checkbox"].includes(field.type);
  /** The fields of a form by what they say: the radios of a name say one thing, each box its own. */
  const slotsOf = (form) => {
    const slots = new Map();
    for (const field of form.elements) {
      if (!field.name || NOT_TYPED.includes(field.type)) continue;
      const slot = field.type === "checkbox" ? `${field.name}=${field.value}` : field.name;
      slots.set(slot, [...(slots.get(slot) ?? []), field]);
    }
    return slots;
  };
  const textOf = (fields) => (isChosen(fields[0]) ? fields.find((field) => field.checked)?.value : fields[0].value) ?? "";
  /** What the server gave. */
  const givenIn = (fields) => {
    const [first] = fields;
    if (isChosen(first)) return fields.find((field) => field.defaultChecked)?.value ?? "";
    if (!first.options) return first.defaultValue;
    return ([...first.options].find((option) => option.defaultSelected) ?? first.options[0])?.value ?? "";
  };

  /** The words of an element itself, without the remarks in it. */
  const wordsIn = (element) => {
    const own = [...(element?.childNodes ?? [])].filter((node) => node.nodeType === Node.TEXT_NODE);
    return own.map((node) => node.data.trim()).filter(Boolean).join(" ");
  };
  /** How people call what is asked, and what they see of the answer. */
  const labelOf = ([first]) => {
    const group = first.type === "radio" ? first.closest("[role=radiogroup], fieldset") : null;
    const name = group?.getAttribute("aria-labelledby")?.split(" ")[0];
    const asked = name ? document.getElementById(name) : group?.querySelector("legend");
    return wordsIn(asked ?? first.labels?.[0]) || first.name;
  };
  const shownOf = (fields) => {
    if (fields[0].options) return wordsIn(fields[0].selectedOptions[0]);
    if (!isChosen(fields[0])) return fields[0].value;
    const chosen = fields.find((field) => field.checked);
    if (!chosen) return "not chosen";
    return chosen.type === "checkbox" ? "ticked" : wordsIn(chosen.labels?.[0]) || chosen.value;
  };

  /** What was typed. A day that the server gave is kept with it, since another day it gives another one. */
  const typedIn = (form) => {
    const was = new Map(before.get(form)?.fields.map((field) => [field.slot, field.given]));
    return [...slotsOf(form)].flatMap(([slot, fields]) => {
      const [text, given] = [textOf(fields), was.get(slot) ?? givenIn(fields)];
      if (text === given && !(fields[0].type === "date" && given)) return [];
      return [{ slot, text, given, label: labelOf(fields), shown: shownOf(fields) }];
    });
  };
  const isTyped = (field) => field.text !== field.given;

  const keep = async (form) => {
    if (isOfOther()) return;
    const id = idOf(form);
    const fields = typedIn(form);
    if (!fields.some(isTyped)) return kept.remove("drafts", id);
    const version = before.get(form)?.version ?? versionOf(form);
    return kept.put("drafts", id, { id, form: true, version, fields, at: Date.now() });
  };

  /** Writes into a field again, and opens what it stands in. */
  const write = (fields, text) => {
    for (const field of fields) {
      if (isChosen(field)) field.checked = field.value === text;
      else field.value = text;
    }
    const [first] = fields;
    for (let part = first.closest("details"); part; part = part.parentElement.closest("details")) part.open = true;
    first.closest(".criterion")?.classList.add("noted");
  };

  /** Puts back what the form still has as it was when that was typed; gives what it has not put back. */
  const putBack = (form, draft) => {
    const slots = slotsOf(form);
    const isSame = draft.version === versionOf(form);
    return draft.fields.filter((field) => {
      const fields = slots.get(field.slot);
      if (!isSame || !fields || givenIn(fields) !== field.given) return isSame || isTyped(field);
      if (isTyped(field)) write(fields, field.text);
      return false;
    });
  };

  const made = (name, words = "", attributes = {}) => {
    const element = document.createElement(name);
    element.textContent = words;
    for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
    return element;
  };

  /** Says that something was begun here, what of it is not in the form, and offers to begin anew. */
  const say = (form, draft, left, isPassed) => {
    const timeZone = document.documentElement.dataset.clocks || undefined;
    const when = new Date(draft.at).toLocaleString("sv", { dateStyle: "short", timeStyle: "short", timeZone });
    const said = made("section", "", { class: left.length ? "cautions" : "acts", "aria-label": "What was begun here", "data-begun-said": "" });
    const words = isPassed ? "is not put back, since this has changed meanwhile" : "is here again";
    said.append(made("p", `What you had begun at ${when} ${words}. Nothing of it is recorded.`, { role: "status" }));
    if (left.length) {
      said.append(made("p", isPassed ? "Write again what of it still holds:" : "Not put back, since the form begins otherwise now:"));
      const list = made("dl", "", { class: "facts" });
      for (const { label, shown } of left) {
        const line = made("div");
        line.append(made("dt", label), made("dd", shown || "empty"));
        list.append(line);
      }
      said.append(list);
    }
    const anew = made("button", isPassed ? "Throw it away" : "Begin anew", { type: "button" });
    anew.addEventListener("click", async () => {
      if (!isPassed) form.reset();
      said.remove();
      await kept.remove("drafts", idOf(form));
    });
    const acts = left.length ? made("div", "", { class: "acts" }) : said;
    acts.append(anew);
    if (acts !== said) said.append(acts);
    form.prepend(said);
  };

  const restore = async (form, wasSent) => {
    const id = idOf(form);
    const draft = await kept.get("drafts", id);
    if (!draft || isOfOther()) return;
    // The same form once more behind what was done.
    if (wasSent && main.querySelector(":scope > .flash")) return kept.remove("drafts", id);
    // What was given back stands, and is kept as what it was typed for; so does what waited and was not taken.
    if (isGivenBack) {
      // What was only shown to be read is none of what was sent.
      if (draft.isPassed || slotsOf(form).size === 0) return;
      before.set(form, draft);
      return keep(form);
    }
    const refused = (await ropeloft.queue.entries()).some((entry) => entry.state === "refused" && entry.url.split("?")[0].endsWith(addressOf(form)));
    if (refused) return;
    const left = putBack(form, draft);
    const isPassed = !draft.fields.some((field) => isTyped(field) && !left.includes(field));
    say(form, draft, left, isPassed);
    if (isPassed) return kept.put("drafts", id, { ...draft, isPassed });
  };

  /** Throws away what was taken, or left, or never come back to. */
  const settle = async (sent) => {
    const here = new Set(forms.map(idOf));
    // A page that was come to in another way says nothing of what became of it.
    const isOut = sent && document.referrer !== "" && !isGivenBack;
    const isOver = (draft) => isOut && draft.id.startsWith(sent) && !here.has(draft.id);
    for (const draft of await kept.all("drafts")) {
      if (draft.form && (isOver(draft) || Date.now() - draft.at > LONGEST_MS)) await kept.remove("drafts", draft.id);
    }
  };

  const begin = async () => {
    const sent = sessionStorage.getItem(SENT);
    sessionStorage.removeItem(SENT);
    await settle(sent);
    for (const form of forms) await restore(form, sent === idOf(form));
  };
  const begun = begin().catch(() => {});

  for (const form of forms) {
    const id = idOf(form);
    form.addEventListener("input", () => {
      sessionStorage.removeItem(SENT);
      begun.then(() => keep(form)).catch(() => {});
    });
    form.addEventListener("submit", () => sessionStorage.setItem(SENT, id), true);
    form.querySelector(".acts a.plain")?.addEventListener("click", () => sessionStorage.setItem(SENT, id));
    // What is kept to be sent later is not begun any more.
    document.addEventListener("queue:changed", () => {
      if (!form.isConnected) kept.remove("drafts", id).catch(() => {});
    });
  }
})();
