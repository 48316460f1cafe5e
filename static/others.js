// Says on every page whose records wait on this device: nobody but them can send these, and whoever has the device in hand
// can tell them.
"use strict";

(async () => {
  if (!globalThis.indexedDB) return;
  const waiting = (await ropeloft.kept.others("queue")).filter((entry) => entry.state !== "held");
  const people = new Map();
  for (const entry of waiting) people.set(entry.person, [...(people.get(entry.person) ?? []), entry]);
  if (people.size === 0) return;
  const section = document.createElement("section");
  section.className = "cautions";
  section.setAttribute("aria-label", "Of others on this device");
  section.dataset.ofOthers = "";
  for (const entries of people.values()) {
    const name = entries.find((entry) => entry.whose)?.whose;
    const line = document.createElement("p");
    line.setAttribute("role", "status");
    const count = entries.length === 1 ? "1 record" : `${entries.length} records`;
    const [wait, are, them] = entries.length === 1 ? ["waits", "is", "it"] : ["wait", "are", "them"];
    const whose = name ? `of ${name}` : "of somebody else";
    const who = name ?? `whoever wrote ${them}`;
    line.textContent = `${count} ${whose} ${wait} on this device and ${are} not recorded yet: ${who} signs in here to send ${them}.`;
    section.append(line);
  }
  document.querySelector("#main h1")?.after(section);
})().catch(() => {});
