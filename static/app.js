// Makes pages quicker to use; every page works without it. Reads data- attributes only.
"use strict";

// A form is sent once, even when a gloved thumb presses twice.
document.addEventListener("submit", (event) => {
  const form = event.target;
  // What answers with a file leaves the page as it is (data-again), and may be sent again.
  if (event.defaultPrevented || form.method !== "post" || "again" in form.dataset) return;
  if (form.dataset.sent === "yes") {
    event.preventDefault();
    return;
  }
  form.dataset.sent = "yes";
  for (const button of form.querySelectorAll("button:not([name])")) button.setAttribute("aria-disabled", "true");
});

// Coming back with the browser's own button, the form may be sent again.
window.addEventListener("pageshow", () => {
  for (const form of document.querySelectorAll("form[data-sent]")) {
    delete form.dataset.sent;
    for (const button of form.querySelectorAll("[aria-disabled]")) button.removeAttribute("aria-disabled");
  }
});

// data-copy="id of an element": copies its text.
for (const button of document.querySelectorAll("[data-copy]")) {
  if (!navigator.clipboard) continue;
  button.hidden = false;
  button.addEventListener("click", async () => {
    const from = document.getElementById(button.dataset.copy);
    await navigator.clipboard.writeText(from.textContent.trim());
    button.textContent = "Copied";
  });
}

// data-zone: a choice of time zones without one begins at the zone that the browser is set to.
for (const choice of document.querySelectorAll("[data-zone] select")) {
  const here = Intl.DateTimeFormat().resolvedOptions().timeZone;
  if (choice.value === "" && [...choice.options].some((option) => option.value === here)) choice.value = here;
}

// data-print: opens the print window.
for (const button of document.querySelectorAll("[data-print]")) {
  button.hidden = false;
  button.addEventListener("click", () => window.print());
}

// data-more="id of a fieldset": one more empty row below its last; without JavaScript the server adds it.
for (const button of document.querySelectorAll("[data-more]")) {
  button.addEventListener("click", (event) => {
    const rows = document.getElementById(button.dataset.more).querySelectorAll("[data-row]");
    const last = rows[rows.length - 1];
    if (!last) return;
    event.preventDefault();
    const row = last.cloneNode(true);
    for (const wrong of row.querySelectorAll(".wrong")) wrong.remove();
    // A box is about what stands in the row that it was shown for.
    for (const box of row.querySelectorAll("[type=checkbox]")) box.closest(".field").remove();
    for (const part of row.querySelectorAll("[id], [name], [for], [aria-describedby]")) {
      for (const key of ["id", "for", "aria-describedby"]) {
        const text = part.getAttribute(key);
        if (text) part.setAttribute(key, text.replace(/-\d+-/g, `-${rows.length}-`));
      }
      if (part.name) part.name = part.name.replace(/\[\d+\]/, `[${rows.length}]`);
      part.removeAttribute("aria-invalid");
      part.removeAttribute("autofocus");
      if (part instanceof HTMLInputElement) part.value = "";
      if (part instanceof HTMLSelectElement) part.selectedIndex = 0;
    }
    const legend = row.querySelector("legend");
    legend.textContent = legend.textContent.replace(/\d+/, rows.length + 1);
    last.after(row);
    row.querySelector("input, select").focus();
  });
}

// data-scanner: a reader that types sends the separator of GS1 as Ctrl and ], which no field takes; its sign stands for it.
for (const form of document.querySelectorAll("form[data-scanner]")) {
  // What is scanned next takes the place of what stands there.
  form.querySelector("input[autofocus]")?.select();
  form.addEventListener("keydown", (event) => {
    const field = event.target;
    if (!event.ctrlKey || event.key !== "]" || !field.matches("input[type=text]")) return;
    event.preventDefault();
    field.setRangeText("\u241d", field.selectionStart, field.selectionEnd, "end");
  });
}

// data-camera: reads codes with the camera; the browser itself where it can, for some have the means and read no kind of
// code. Elsewhere the server reads one picture after another at the address that stands there.
const camera = document.querySelector("[data-camera]");
const ownReader = async () => {
  if (!("BarcodeDetector" in window) || (await BarcodeDetector.getSupportedFormats()).length === 0) return null;
  const detector = new BarcodeDetector();
  const read = async (view) => {
    const codes = [...new Set((await detector.detect(view)).map((one) => one.rawValue))];
    return { code: codes.length === 1 ? codes[0] : null, codes: codes.length };
  };
  return { pause: 200, read };
};
const readerFarAway = () => {
  if (!camera.dataset.camera) return null;
  const canvas = document.createElement("canvas");
  const read = async (view) => {
    [canvas.width, canvas.height] = [view.videoWidth, view.videoHeight];
    canvas.getContext("2d").drawImage(view, 0, 0);
    const body = await new Promise((done) => canvas.toBlob(done, "image/jpeg", 0.85));
    const answer = await fetch(camera.dataset.camera, { method: "POST", body }).catch(() => null);
    if (!answer) throw new Error("what it sees is read by the server here, and there is no line");
    if (!answer.ok) throw new Error(`the server answered ${answer.status}`);
    return answer.json();
  };
  return { pause: 500, read };
};
const offerCamera = async () => {
  if (!camera || !navigator.mediaDevices) return;
  const reader = (await ownReader()) ?? readerFarAway();
  if (!reader) return;
  const note = document.querySelector("[data-no-camera]");
  const view = document.querySelector("[data-viewfinder]");
  const offered = camera.textContent;
  camera.hidden = false;
  note.hidden = true;
  const stop = () => {
    for (const track of view.srcObject?.getTracks() ?? []) track.stop();
    view.srcObject = null;
    view.hidden = true;
    camera.textContent = offered;
  };
  const look = async () => {
    if (view.hidden) return;
    const { code: found, codes } = await reader.read(view);
    if (view.hidden) return;
    // Of several nobody knows which is meant.
    note.hidden = !(codes > 1);
    if (codes > 1) note.textContent = `${codes} codes are in view. Show one of them alone.`;
    if (!found) {
      setTimeout(() => look().catch(fail), reader.pause);
      return;
    }
    stop();
    camera.form.elements.code.value = found.replaceAll("\u001d", "\u241d");
    camera.form.requestSubmit();
  };
  const fail = (error) => {
    stop();
    note.textContent = `The camera cannot be used: ${error.message}. Type the code, or use a reader that types.`;
    note.hidden = false;
  };
  camera.addEventListener("click", async () => {
    if (!view.hidden) return stop();
    try {
      view.srcObject = await navigator.mediaDevices.getUserMedia({ video: { facingMode: "environment" } });
      view.hidden = false;
      note.hidden = true;
      camera.textContent = "Stop the camera";
      await view.play();
      await look();
    } catch (error) {
      fail(error);
    }
  });
};
offerCamera().catch(() => {});

// data-page="address": where a form is opened, though what it wrote was sent elsewhere and came back with what is wrong.
// data-own="text": what a hidden field says, whatever was written back into it.
for (const form of document.querySelectorAll("form[data-page]")) {
  const { pathname } = new URL(form.dataset.page, location);
  if (location.pathname !== pathname) history.replaceState(null, "", form.dataset.page);
  form.addEventListener(
    "submit",
    (event) => {
      for (const field of form.querySelectorAll("[data-own]")) field.value = field.dataset.own;
      // Photos are added to what is recorded: without a line the record is kept, and they follow on its page.
      if (event.submitter?.value !== "photos" || navigator.onLine) return;
      event.preventDefault();
      event.stopImmediatePropagation();
      // A form is not sent from within its own sending.
      setTimeout(() => form.requestSubmit(form.querySelector("button.main")));
    },
    true,
  );
}

// data-rest: what is not answered in its list passes; without JavaScript the server marks it.
for (const button of document.querySelectorAll("[data-rest]")) {
  button.addEventListener("click", (event) => {
    event.preventDefault();
    for (const group of button.closest("[data-criteria]").querySelectorAll("[role=radiogroup]")) {
      const pass = group.querySelector("input[value=pass]");
      if (pass && !group.querySelector("input:checked")) pass.checked = true;
    }
    button.form.dispatchEvent(new Event("input"));
  });
}

// The sheet of further sections goes away with Escape, and with a press beside it.
const more = document.querySelector(".nav .more");
if (more) {
  document.addEventListener("keydown", (event) => {
    if (event.key !== "Escape" || !more.open) return;
    more.open = false;
    more.querySelector("summary").focus();
  });
  document.addEventListener("click", (event) => {
    if (!more.contains(event.target)) more.open = false;
  });
}

// data-look="address": what a form comes to is asked for while somebody types, and put where data-looked stands.
for (const form of document.querySelectorAll("form[data-look]")) {
  const place = document.querySelector("[data-looked]");
  let wait;
  let asked = new AbortController();
  // Each line of what is wrong leads to its field, which is marked too.
  const mark = () => {
    for (const field of form.querySelectorAll("[data-marked]")) {
      field.removeAttribute("aria-invalid");
      delete field.dataset.marked;
    }
    for (const line of place.querySelectorAll("[data-wrong] a")) {
      const field = document.getElementById(line.hash.slice(1));
      if (!field || !field.matches("input, select, textarea") || field.hasAttribute("aria-invalid")) continue;
      field.setAttribute("aria-invalid", "true");
      field.dataset.marked = "yes";
    }
  };
  const look = async () => {
    asked.abort();
    asked = new AbortController();
    try {
      const body = new URLSearchParams(new FormData(form));
      const answer = await fetch(form.dataset.look, { method: "POST", body, signal: asked.signal });
      if (!answer.ok) return;
      place.innerHTML = await answer.text();
      mark();
    } catch (error) {
      // Typed on meanwhile, or no line: the button still asks.
    }
  };
  form.addEventListener("input", () => {
    clearTimeout(wait);
    wait = setTimeout(look, 400);
  });
}

// A slash puts the cursor in the search field.
document.addEventListener("keydown", (event) => {
  const at = event.target;
  if (event.key !== "/" || event.ctrlKey || event.metaKey || event.altKey) return;
  if (at instanceof HTMLElement && (at.isContentEditable || /^(INPUT|TEXTAREA|SELECT)$/.test(at.tagName))) return;
  const search = document.querySelector("input[type=search]");
  if (search) {
    event.preventDefault();
    search.focus();
    search.select();
  }
});
