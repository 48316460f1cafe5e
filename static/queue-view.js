// Shows on every page what waits to be sent and what the server did not take, and asks before signing out over it.
"use strict";

(() => {
  const { kept, queue } = ropeloft;
  if (!globalThis.indexedDB || !ropeloft.person) return;

  const made = (name, words = "", attributes = {}) => {
    const element = document.createElement(name);
    element.textContent = words;
    for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
    return element;
  };
  const count = (n) => (n === 1 ? "1 record waits" : `${n} records wait`);

  const box = made("section", "", { class: "cautions", "aria-label": "Not sent yet" });
  const status = made("p", "", { role: "status" });
  const signIn = made("p");
  const list = made("ul", "", { class: "reasons hold" });
  box.hidden = true;
  box.append(status, signIn, list);
  document.querySelector("#main h1")?.after(box);

  const why = () => {
    if (queue.line() === "stranger") return "Your sign-in has ended; what waits is kept on this device until you sign in again.";
    if (queue.line() === "away" || !navigator.onLine) return "What waits is kept on this device and sent when there is a line.";
    return "It is being sent.";
  };

  /** Where somebody comes back to after signing in. */
  const here = () => `${location.pathname}${location.search}`;

  const refusal = (entry) => {
    const line = made("li");
    line.append(made("strong", `${entry.label}: not taken.`));
    for (const sentence of entry.said) line.append(made("span", sentence));
    const acts = made("div", "", { class: "acts" });
    if (entry.open) acts.append(made("a", "Look at it again", { class: "button", href: entry.open, "data-again": entry.id }));
    if (entry.file) {
      const again = made("button", "Send again", { type: "button", "aria-label": `Send again: ${entry.label}` });
      again.addEventListener("click", () => queue.again(entry.id));
      acts.append(again);
    }
    const button = made("button", "Discard", { type: "button", class: "plain", "aria-label": `Discard ${entry.label}` });
    button.addEventListener("click", () => {
      if (confirm(`Discard ${entry.label}? It is recorded nowhere.`)) queue.discard(entry.id);
    });
    acts.append(button);
    line.append(acts);
    return line;
  };

  const show = async () => {
    const all = await queue.entries();
    const waiting = all.filter((entry) => entry.state === "waiting");
    const refused = all.filter((entry) => entry.state === "refused");
    // What goes at once needs no word.
    const stuck = waiting.length > 0 && (queue.line() !== "here" || !navigator.onLine);
    status.textContent = stuck ? `${count(waiting.length)} to be sent. ${why()}` : "";
    signIn.replaceChildren();
    signIn.hidden = true;
    if (stuck && queue.line() === "stranger") {
      signIn.hidden = false;
      signIn.append(made("a", "Sign in", { href: `/sign-in?to=${encodeURIComponent(ropeloft.wayBack?.() ?? here())}` }));
    }
    list.replaceChildren(...refused.map(refusal));
    list.hidden = refused.length === 0;
    box.hidden = !stuck && refused.length === 0;
  };
  document.addEventListener("queue:changed", show);
  window.addEventListener("offline", show);

  /** Asks what becomes of what is not sent; gives `send`, `keep`, `discard`, or nothing. */
  const ask = (left) =>
    new Promise((chosen) => {
      const dialog = made("dialog", "", { "aria-labelledby": "unsent" });
      const form = made("form", "", { method: "dialog", class: "stack" });
      form.append(made("h2", `${count(left)} to be sent`, { id: "unsent" }));
      form.append(made("p", "Nobody but you can send them from this device, once you sign in again."));
      const acts = made("div", "", { class: "acts" });
      acts.append(made("button", "Stay signed in", { value: "", class: "main" }));
      acts.append(made("button", "Sign out and keep them", { value: "keep" }));
      acts.append(made("button", "Sign out and discard them", { value: "discard", class: "grave" }));
      form.append(acts);
      dialog.append(form);
      document.body.append(dialog);
      dialog.addEventListener("close", () => {
        dialog.remove();
        chosen(dialog.returnValue);
      });
      dialog.showModal();
    });

  document.addEventListener(
    "submit",
    async (event) => {
      const form = event.target;
      if (form.getAttribute("action") !== "/sign-out") return;
      event.preventDefault();
      try {
        await queue.flush();
        // What is held belongs to something begun, and is counted with it.
        const unsent = (await kept.all("queue")).filter((entry) => entry.state !== "held");
        const begun = (await kept.all("drafts")).filter((draft) => !draft.form);
        const left = unsent.length + begun.length;
        const choice = left ? await ask(left) : "keep";
        if (!choice) return;
        if (choice === "discard") await kept.discard();
        await kept.forgetTyped();
        await kept.forget();
      } catch {
        // Nothing can be kept here, so nothing is.
      }
      form.submit();
    },
    true,
  );

  show().catch(() => {});
  queue.flush();
})();
