// How far the tray is: what was recorded on this device, what waits, and what is begun.
"use strict";

ropeloft.tally = (() => {
  const { kept, queue } = ropeloft;
  /** How many records are named. */
  const MOST = 60;
  const STATES = { waiting: "waits to be sent", refused: "not taken" };

  /** Shows it in the list that is worked through, and below the sheet; gives what was not taken. */
  const show = async ({ lists, recorded, begun }, button) => {
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
    recorded.querySelector("ul").replaceChildren(...rows.slice(0, MOST).map(told));
    const items = drafts.filter((draft) => !draft.form);
    begun.hidden = items.length === 0;
    begun.querySelector("div").replaceChildren(...items.map(button));
    return all.filter((one) => one.state === "refused");
  };

  return { show };
})();
