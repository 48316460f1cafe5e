// data-begun: what is typed in such a form stays on this device until the server has taken it, through a reload and a closed
// tab, for the person who typed it. Passwords, files and what is hidden are not kept.
"use strict";

(() => {
  const { kept, person } = ropeloft;
  /** What nobody came back to is thrown away after so long. */
  const LONGEST_MS = 14 * 86_400_000;
  /** The form that was sent last from this tab, or left for good. */
  const SENT = "ropeloft-sent";
  const NOT_TYPED = ["hidden", "password", "file", "submit", "button", "fieldset"];
  if (!person || !globalThis.indexedDB) return;
  const main = document.querySelector("#main");
  const forms = [...document.querySelectorAll("form[data-begun]")];

  const idOf = (form) => `form ${new URL(form.action).pathname}`;
  const fieldsOf = (form) => [...form.elements].filter((field) => field.name && !NOT_TYPED.includes(field.type));
  const isChosen = (field) => ["radio", "checkbox"].includes(field.type);
  /** The version of the record that is changed: what was typed for one is nothing for the next. */
  const version = (form) => form.elements.namedItem("revision")?.value ?? "";

  const typed = (form) =>
    fieldsOf(form)
      .filter((field) => !isChosen(field) || field.checked)
      .map((field) => [field.name, field.value]);

  const keep = (form) => {
    const id = idOf(form);
    return kept.put("drafts", id, { id, form: true, version: version(form), fields: typed(form), at: Date.now() });
  };

  /** Writes what was typed into a form again, and opens what it stands in. */
  const write = (form, fields) => {
    const texts = new Map();
    for (const [name, text] of fields) texts.set(name, [...(texts.get(name) ?? []), text]);
    for (const field of fieldsOf(form)) {
      const own = texts.get(field.name) ?? [];
      const before = isChosen(field) ? field.checked : field.value;
      if (isChosen(field)) field.checked = own.includes(field.value);
      else if (own.length) field.value = own.shift();
      if (before === (isChosen(field) ? field.checked : field.value)) continue;
      for (let part = field.closest("details"); part; part = part.parentElement.closest("details")) part.open = true;
      field.closest(".criterion")?.classList.add("noted");
    }
  };

  /** Says that something was begun here, with a way to begin anew. */
  const say = (form, at) => {
    const said = document.createElement("div");
    said.className = "acts";
    said.dataset.begunSaid = "";
    const words = document.createElement("p");
    words.setAttribute("role", "status");
    const when = new Date(at).toLocaleString("sv", { dateStyle: "short", timeStyle: "short" });
    words.textContent = `What you had begun at ${when} is here again. Nothing of it is recorded.`;
    const anew = document.createElement("button");
    anew.type = "button";
    anew.textContent = "Begin anew";
    anew.addEventListener("click", async () => {
      form.reset();
      said.remove();
      await kept.remove("drafts", idOf(form));
    });
    said.append(words, anew);
    form.prepend(said);
  };

  const restore = async (form, wasSent) => {
    const id = idOf(form);
    const draft = await kept.get("drafts", id);
    if (!draft) return;
    // The same form once more behind what was done, or another version of the record.
    if ((wasSent && main.querySelector(":scope > .flash")) || draft.version !== version(form)) return kept.remove("drafts", id);
    // What the server has just given back with its own words stands, and so does what waited and was not taken.
    if (main.querySelector(".wrong")) return keep(form);
    const refused = (await ropeloft.queue.entries()).some((entry) => entry.state === "refused" && entry.url.split("?")[0].endsWith(id.slice(5)));
    if (refused || JSON.stringify(draft.fields) === JSON.stringify(typed(form))) return;
    write(form, draft.fields);
    say(form, draft.at);
  };

  /** Throws away what was taken, or left, or never come back to. */
  const settle = async (sent) => {
    const here = new Set(forms.map(idOf));
    const isOver = (draft) => draft.id === sent && !here.has(draft.id) && !document.querySelector("[data-problem]");
    for (const draft of await kept.all("drafts")) {
      if (draft.form && (isOver(draft) || Date.now() - draft.at > LONGEST_MS)) await kept.remove("drafts", draft.id);
    }
  };

  for (const form of forms) {
    const id = idOf(form);
    form.addEventListener("input", () => {
      sessionStorage.removeItem(SENT);
      keep(form).catch(() => {});
    });
    form.addEventListener("submit", () => sessionStorage.setItem(SENT, id), true);
    form.querySelector(".acts a.plain")?.addEventListener("click", () => sessionStorage.setItem(SENT, id));
    // What is kept to be sent later is not begun any more.
    document.addEventListener("queue:changed", () => {
      if (!form.isConnected) kept.remove("drafts", id).catch(() => {});
    });
  }

  const begin = async () => {
    const sent = sessionStorage.getItem(SENT);
    sessionStorage.removeItem(SENT);
    await settle(sent);
    for (const form of forms) await restore(form, sent === idOf(form));
  };
  begin().catch(() => {});
})();
