// The sheet of one item: what is typed in it, what follows from it at once, and the record that it becomes.
"use strict";

ropeloft.sheet = (() => {
  const PART = /^answers\[([^\]]+)\]\[(outcome|note|values|confirmed)\](?:\[(\d+)\])?$/;

  /** What is typed in a form, by the names of its fields. */
  const read = (form) => {
    const fields = {};
    for (const [name, text] of new FormData(form)) {
      if (typeof text === "string" && text !== "") fields[name] = text;
    }
    for (const name of ["verdict", "seen", "checklist"]) delete fields[name];
    return fields;
  };

  /** Writes what was typed into a form again. */
  const write = (form, fields) => {
    for (const [name, text] of Object.entries(fields)) {
      for (const field of form.querySelectorAll(`[name="${CSS.escape(name)}"]`)) {
        if (field.type === "radio") field.checked = field.value === text;
        else if (field.type === "checkbox") [field.value, field.checked] = [text, true];
        else field.value = text;
        const details = field.closest("details");
        if (details) details.open = true;
      }
    }
  };

  const criteria = (form) => [...form.querySelectorAll("[data-criterion]")].filter((row) => !row.hidden);

  const METRES = { mm: 0.001, cm: 0.01, m: 1, in: 0.0254, ft: 0.3048 };

  /** The number that somebody measured, in the unit of the criterion; none where it cannot be read here. */
  const number = (text, unit) => {
    const typed = text.trim().match(/^(\d+(?:[.,]\d+)?|[.,]\d+)\s*(\D*)$/);
    const given = typed && (typed[2].trim().toLowerCase() || unit);
    if (!given || !(given in METRES)) return undefined;
    const value = Number(typed[1].replace(",", "."));
    return given === unit ? value : (value * METRES[given]) / METRES[unit];
  };

  /** Whether a length is far from the record, so that it is asked about. */
  const isFar = (value, { below, above }) => value !== undefined && above !== "" && (value < Number(below) || value > Number(above));

  /** Shows the box that confirms a length, where one is far from the record; it is ticked for just what is typed. */
  const ask = (row) => {
    const box = row.querySelector("[data-confirm] input");
    if (!box) return;
    const texts = [...row.querySelectorAll(".trio input")].map((field) => field.value.trim()).filter(Boolean);
    const far = texts.filter((text) => isFar(number(text, row.dataset.unit), row.dataset)).join("; ");
    // The server knows how it writes what was typed; a bare yes means all of it.
    if (box.dataset.of !== undefined && box.dataset.of !== far) box.checked = false;
    box.dataset.of = far;
    box.value = "yes";
    box.closest("[data-confirm]").hidden = !far;
    const told = /^[\d.,]+$/.test(far) ? `${far} ${row.dataset.unit}` : far;
    return far && !box.checked ? `Is it really ${told}? The record says ${row.dataset.recorded}. Measure again, or confirm it` : "";
  };

  /** How a criterion was answered, and what is beyond its limit. */
  const looked = (row) => {
    const { criterion, out, unit, points, least, most } = row.dataset;
    const said = row.querySelector("input[type=radio]:checked")?.value ?? "";
    const texts = [...row.querySelectorAll(".trio input")].map((field) => field.value).filter((text) => text.trim());
    const beyond = texts
      .map((text) => number(text, unit))
      .some((value) => value !== undefined && ((least && value < Number(least)) || (most && value > Number(most))));
    return {
      row,
      criterion,
      unit,
      texts,
      out,
      words: row.querySelector(".label").textContent,
      outcome: said || (beyond ? "fail" : ""),
      beyond,
      note: row.querySelector(".seen input").value.trim(),
      missing: Number(points) > texts.length,
      limited: Number(points) > 0,
      field: row.querySelector(".seen input"),
    };
  };

  /** The sentence that refuses a verdict because of what failed; empty where nothing does. */
  const refused = (answers, verdict, thorough) => {
    const failed = answers.filter((one) => one.outcome === "fail");
    const named = (some) => some.map((one) => `“${one.words}”`).join(", ");
    const gone = failed.filter((one) => one.out === "retire");
    if (gone.length && thorough && verdict !== "retire") return `A fail of ${named(gone)} puts it out for good: retire it.`;
    if (failed.length && verdict === "fit") return `Not fit, since this failed: ${named(failed)}. Choose quarantine, or retire it.`;
    return "";
  };

  /** What is still missing for this verdict: sentences, each with its field. The server is asked again. */
  const faults = (form, verdict, thorough) => {
    const answers = criteria(form).map(looked);
    const found = [];
    const sentence = refused(answers, verdict, thorough);
    if (sentence) found.push([sentence, form.querySelector(`.verdicts [value=${verdict}]`)]);
    for (const { criterion, unit, texts, words, outcome, beyond, note, out, missing, limited, field, row } of answers) {
      const unsaid = !note && ((outcome === "fail" && !beyond) || outcome === "watch");
      if (unsaid) found.push([`${words}: write what you saw, and where.`, field]);
      if (!note && outcome === "not-applicable" && out) found.push([`${words}: write why this does not apply.`, field]);
      if (limited && verdict === "fit" && outcome === "not-applicable") {
        found.push([`${words}: the model's record has a limit here, so it applies: measure it.`, row.querySelector(".trio input")]);
      }
      if (beyond && ["pass", "watch"].includes(outcome)) found.push([`${words}: this is beyond the model's limit, a fail.`, field]);
      const none = criterion === "length" && texts.some((text) => number(text, unit) === 0);
      if (none) found.push([`${words}: a length is above 0 ${unit}.`, row.querySelector(".trio input")]);
      const far = ask(row);
      if (far) found.push([`${words}: ${far}.`, row.querySelector("[data-confirm] input")]);
      if (missing && verdict === "fit" && thorough && outcome !== "not-applicable") {
        found.push([`${words}: the model sets a limit here, so it is measured.`, row.querySelector(".trio input")]);
      }
    }
    const findings = form.elements.findings;
    if (verdict !== "fit" && !findings.value.trim() && !answers.some((one) => one.outcome === "fail")) {
      found.push(["Write what was found; an item is not taken out of use without it.", findings]);
    }
    return found;
  };

  /** Says in the sheet what its answers force, and greys the verdicts that they refuse. */
  const judge = (form, thorough) => {
    const answers = criteria(form).map(looked);
    answers.forEach((one) => ask(one.row));
    const note = form.querySelector("[data-forced]");
    note.hidden = true;
    for (const button of form.querySelectorAll("button:not(.only-read)[value]")) {
      const sentence = refused(answers, button.value, thorough);
      button.toggleAttribute("aria-disabled", false);
      if (!sentence) continue;
      button.setAttribute("aria-disabled", "true");
      note.textContent = sentence;
      note.hidden = false;
    }
  };

  /** Shows what is missing above the verdicts, and puts the cursor where it is. */
  const complain = (form, found) => {
    const note = form.querySelector("[data-forced]");
    note.textContent = found.map(([sentence]) => sentence).join(" ");
    note.hidden = false;
    note.id = "forced";
    for (const before of form.querySelectorAll("[data-complained]")) before.remove();
    for (const [sentence, at] of found) {
      // The sentence stands at its field too: on a phone the buttons are out of sight there.
      const place = at.closest(".field");
      if (place) place.append(Object.assign(document.createElement("p"), { className: "wrong", textContent: sentence }));
      if (place) place.lastElementChild.dataset.complained = "";
    }
    const [, field] = found[0];
    const details = field.closest("details");
    if (details) details.open = true;
    field.closest(".criterion")?.classList.add("noted");
    field.setAttribute("aria-describedby", "forced");
    field.focus();
    (field.closest(".field") ?? note).scrollIntoView({ block: "center" });
  };

  /** The record, as the server takes it. What is hidden was not looked at. */
  const body = (form, verdict, sitting) => {
    const { seen, checklist } = form.elements;
    const shown = new Set(criteria(form).map((row) => row.dataset.criterion));
    const record = {
      kind: sitting.look, on: sitting.on, examiner: sitting.examiner, place: sitting.place,
      verdict, seen: seen.value, checklist: checklist.value, rest: verdict === "fit" ? "pass" : "", answers: {},
    };
    for (const [name, text] of Object.entries(read(form))) {
      // What a photo shows goes with the photo.
      if (name.startsWith("caption-")) continue;
      const part = name.match(PART);
      if (!part) record[name] = text;
      else if (shown.has(part[1])) {
        const answer = (record.answers[part[1]] ??= {});
        if (part[2] === "values") (answer.values ??= []).push(text);
        else answer[part[2]] = text;
      }
    }
    return record;
  };

  /** Shows the whole list, or the short one. */
  const narrow = (form, thorough) => {
    for (const row of form.querySelectorAll("[data-long]")) row.hidden = !thorough;
  };

  /** What may be taken over to the next item of the same list: nothing that failed, is watched or was measured. */
  const again = (fields) => {
    const entries = Object.entries(fields).filter(([name]) => PART.test(name));
    const own = entries.some(([name, text]) => PART.exec(name)[2] === "values" || ["fail", "watch"].includes(text));
    return own || entries.length === 0 ? undefined : Object.fromEntries(entries);
  };

  return { again, body, complain, faults, judge, narrow, read, write };
})();
