// Adds up the lengths of a cut while they are typed: "Of 60 m: 40 m in pieces, 20 m not accounted for." The server adds up
// too, and decides.
"use strict";

(() => {
  const form = document.querySelector("form[data-cut]");
  const said = form?.querySelector("[data-sum]");
  const length = Number(form?.dataset.cut || NaN);
  if (!said || !Number.isFinite(length)) return;

  /** How many metres a unit is, under every name that the server reads. */
  const METRES = new Map(
    [
      [0.001, "mm millimetre millimeter"],
      [0.01, "cm centimetre centimeter centimetres centimeters"],
      [1, "m metre meter metres meters"],
      [0.0254, 'in inch inches "'],
      [0.3048, "ft foot feet '"],
    ].flatMap(([metres, names]) => names.split(" ").map((name) => [name, metres])),
  );
  /** Below this a rest is none: what sums of decimal fractions are off by. */
  const EQUAL = 1e-6;
  const FOOT = METRES.get("ft");

  /** What was typed in metres; undefined where it cannot be read. */
  const metres = (text) => {
    const found = /^([-+]?\d(?:[\d.,]|[ \u00a0\u202f'](?=\d{3}(?!\d)))*)\s*(.*?)\.?$/.exec(text.trim());
    const number = found?.[1].replaceAll(/[\s']/g, "").replace(",", ".");
    if (!found || /[.,].*[.,]|[.,]$/.test(number)) return undefined;
    const unit = METRES.get(found[2].toLowerCase());
    return unit === undefined ? undefined : Number(number) * unit;
  };

  const short = (number, places) => String(Number(number.toFixed(places)));
  /** A length as the server writes it: in metres, and for those who read feet in these too. */
  const told = (length) => {
    const feet = form.dataset.units === "us" ? ` (${Number((length / FOOT).toPrecision(3))} ft)` : "";
    return `${short(length, 3)} m${feet}`;
  };

  const sum = () => {
    const fields = [...form.querySelectorAll("input[name^='pieces['][name$='[length]']")].map((field) => field.value.trim());
    const thrown = form.elements.namedItem("waste").value.trim();
    const typed = fields.filter(Boolean).map(metres);
    const waste = /^[0.,]*$/.test(thrown) ? 0 : metres(thrown);
    if (!typed.length) return "";
    if ([...typed, waste].includes(undefined)) return "Not added up yet: write every length with its unit.";
    const pieces = typed.reduce((all, one) => all + one, 0);
    const left = length - pieces - waste;
    const away = waste > 0 ? `, ${told(waste)} thrown away` : "";
    const rest =
      Math.abs(left) < EQUAL ? "nothing left over" : left < 0 ? `${told(-left)} too much` : `${told(left)} not accounted for`;
    return `Of ${told(length)}: ${told(pieces)} in pieces${away}, ${rest}.`;
  };

  let wait;
  const say = () => {
    const words = sum();
    said.hidden = words === "";
    // What is read out changes once somebody has stopped typing.
    if (said.textContent !== words) said.textContent = words;
  };
  form.addEventListener("input", () => {
    clearTimeout(wait);
    wait = setTimeout(say, 400);
  });
  say();
})();
