// What was scanned and has no record: codes that led to no sheet, and sheets that were laid aside. Each stays on this
// device, and on the page, until it is put right or somebody leaves it out.
"use strict";

ropeloft.missed = (() => {
  const { kept } = ropeloft;
  const KEY = "missed";
  /** The last first: { name, of, words }; `of` is the item whose sheet was open, none where a code led to none. */
  let rows = [];
  let place;
  let again;

  const isSame = (one, other) => (one.of ? one.of === other.of : !other.of && one.name === other.name);

  const button = (words, name, press) => {
    const made = Object.assign(document.createElement("button"), { type: "button", className: "plain", textContent: words });
    made.setAttribute("aria-label", `${words}: ${name}`);
    made.addEventListener("click", press);
    return made;
  };

  const row = (one) => {
    const line = document.createElement("li");
    const acts = Object.assign(document.createElement("div"), { className: "acts" });
    acts.append(
      button("Look again", one.name, () => again(one)),
      button("Leave out", one.name, () => change(rows.filter((other) => other !== one))),
    );
    line.append(Object.assign(document.createElement("span"), { textContent: one.words }), acts);
    return line;
  };

  const show = () => {
    place.hidden = rows.length === 0;
    place.querySelector("[data-missed-count]").textContent = `Scanned and not recorded (${rows.length})`;
    place.querySelector("ul").replaceChildren(...rows.map(row));
  };

  const change = (now) => {
    rows = now;
    show();
    return kept.put("lists", KEY, { rows });
  };

  /** Puts one in. */
  const add = (one) => change([one, ...rows.filter((other) => !isSame(one, other))]);

  /** Takes out what is put right now: codes that have led to a sheet, or the item whose sheet is open or recorded. */
  const right = (codes, of) => {
    const left = rows.filter((one) => (one.of ? one.of !== of : !codes.includes(one.name)));
    if (left.length < rows.length) return change(left);
  };

  /** Ties the list to its place; `look` is given what somebody wants to look at again. */
  const tie = async (section, look) => {
    [place, again] = [section, look];
    rows = (await kept.get("lists", KEY))?.rows ?? [];
    show();
  };

  return { add, right, tie };
})();
