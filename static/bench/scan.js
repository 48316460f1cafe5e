// Reads what a hand or a scanner types at the bench: codes, and single keys that stand on the buttons of the sheet.
"use strict";

ropeloft.scan = (() => {
  /** Of the keys of a scanner, one follows the other within this time; a hand is slower. */
  const SCANNER_MS = 60;
  /** A slow one, or one on a busy machine; some hands are as fast, so this tells only what else a code may be. */
  const SLOW_SCANNER_MS = 150;
  /** A hand that types a code presses the next key within this time: a key that is alone for as long is a verdict. */
  const HAND_MS = 600;
  const VERDICTS = ["f", "q", "r", "s"];
  const OFF = "ropeloft-keys-off";

  /** A code as it is compared here: however it is written, brackets or not, element string or web address. */
  const plain = (text) => {
    const code = text.trim().replace(/^\][A-Za-z][0-9A-Za-z]/, "");
    const address = code.match(/^https?:\/\/[^/]+\/(.*)$/i);
    const said = address ? decoded(address[1]) : code;
    return said.replace(/[\u001d\u241d()\s-]/g, "").toLowerCase();
  };

  /** What a web address says: the code of a short one, or the numbers of a GS1 Digital Link and their values. */
  const decoded = (path) => {
    const parts = path.split(/[?#]/)[0].split("/").filter(Boolean);
    const from = parts.findIndex((part) => part === "t" || /^\d{2,4}$/.test(part));
    const told = parts.slice(from < 0 ? 0 : from).map((part) => {
      try {
        return decodeURIComponent(part);
      } catch {
        return part;
      }
    });
    return told[0] === "t" ? told.slice(1).join("") : told.join("");
  };

  /** The kept sheets that a code, a mark or a serial leads to. */
  const matches = (code, sheets) => {
    const wanted = plain(code);
    if (!wanted) return [];
    return sheets.filter(({ mark, codes, serial }) => [mark, ...codes, serial].some((name) => name && plain(name) === wanted));
  };

  const areOff = () => localStorage.getItem(OFF) === "yes";

  /** Whether a key belongs to what has the cursor. */
  const isTypedInto = (target) =>
    target.matches("select, textarea, input:not([type=radio], [type=checkbox])") || target.isContentEditable;

  /** The keys since the last code, in the field for codes or where the cursor is in none: each with its time. */
  let keys = [];
  /** The button whose key was pressed and may still be the beginning of a code; what decides it where nothing follows. */
  let about;
  let alone;
  /** When Enter was pressed last. */
  let entered = 0;

  const text = (some) => some.map(({ key }) => key).join("");
  /** Whether all of it is one key of a verdict, pressed once or more. */
  const isOneVerdict = (some) => some.length > 0 && some.every(({ key, verdict }) => verdict && key === some[0].key);

  const forget = () => {
    clearTimeout(alone);
    about?.removeAttribute("data-about");
    about = undefined;
    keys = [];
  };

  const pressed = () => {
    const button = about;
    forget();
    // A sheet that is laid aside meanwhile has no verdict.
    if (button?.isConnected) button.click();
  };

  /** The keys before those that came one within `gap` of the other, up to Enter at `end`; and those. */
  const split = (end, gap) => {
    let from = keys.length;
    let next = end;
    while (from > 0 && next - keys[from - 1].at <= gap) {
      from -= 1;
      next = keys[from].at;
    }
    return [keys.slice(0, from), keys.slice(from)];
  };
  /** Whether keys of verdicts stand before what a scanner typed. */
  const isApart = ([before, scanned]) => scanned.length > 1 && before.length > 0 && before.every(({ verdict }) => verdict);

  /**
   * What Enter ends: the code in the field, and what else it may be. Keys of verdicts before what a scanner typed may have
   * been pressed for a sheet that was not there, or no more. One that was pressed for a sheet, and left alone for longer
   * than a scanner ever waits, gives its verdict; what a hand types on is a code.
   */
  const read = (code) => {
    const fast = split(entered, SCANNER_MS);
    const [before, scanned] = isApart(fast) ? fast : split(entered, SLOW_SCANNER_MS);
    const apart = code === text(keys) && isApart([before, scanned]);
    const waited = apart && isApart(fast) && isOneVerdict(before) && scanned[0].at - before.at(-1).at >= 2 * SCANNER_MS;
    const button = waited && about?.isConnected ? about : undefined;
    forget();
    if (button) return { codes: [text(scanned)], button };
    return { codes: apart ? [code, text(scanned)] : [code] };
  };

  /** Whether a code is being typed, so that the field and the cursor are left alone. */
  const isTyping = () => keys.length > 0 && !isOneVerdict(keys);

  /** Waits until no scanner is in the midst of a code. */
  const still = async () => {
    while (keys.length && performance.now() - keys.at(-1).at < 2 * SCANNER_MS) {
      await new Promise((done) => setTimeout(done, SCANNER_MS));
    }
  };

  /**
   * Listens on the page, wherever the cursor is but in another field. A key that stands alone for a moment presses the
   * button of `region` that bears it, unless that is turned off; where no sheet is there, `early` is told of it. What is
   * more than one key goes into `field`, as fast or as slow as it comes, and Enter there ends it.
   */
  const listen = (region, field, { early, isAwaited, scanned }) => {
    const ofVerdict = (key) => !areOff() && VERDICTS.includes(key.toLowerCase());
    const lone = (key, inField) => {
      const named = region.querySelector(`[data-key="${CSS.escape(key.toLowerCase())}"]:not([hidden])`);
      if (named && !inField && !areOff()) {
        about = named;
        about.setAttribute("data-about", "");
        alone = setTimeout(pressed, HAND_MS);
      } else if (ofVerdict(key)) {
        const tell = () => {
          early(key.toUpperCase());
          if (!inField) forget();
        };
        alone = setTimeout(tell, isAwaited() ? 2 * SCANNER_MS : HAND_MS);
      } else if (!inField) {
        alone = setTimeout(forget, HAND_MS);
      }
    };
    const ends = (event, inField) => {
      if (event.key === "Enter") entered = event.timeStamp;
      if (event.key === "Enter" && !inField && keys.length) {
        event.preventDefault();
        scanned(read(text(keys)));
      } else if (event.key !== "Enter" || !inField) forget();
    };
    document.addEventListener("keydown", (event) => {
      const inField = event.target === field;
      if (event.target.closest("dialog") || (isTypedInto(event.target) && !inField)) return;
      if (["Shift", "CapsLock", "Control", "Alt", "AltGraph", "Meta"].includes(event.key)) return;
      const parts = event.ctrlKey && event.key === "]";
      if ((event.ctrlKey || event.metaKey || event.altKey) && !parts) return forget();
      if (event.key.length !== 1) return ends(event, inField);
      if (event.repeat && about) return event.preventDefault();
      if (event.key === " " && !inField && !keys.length) return;
      const beside = inField && field.value.length > field.selectionEnd - field.selectionStart;
      clearTimeout(alone);
      keys.push({ key: parts ? "\u241d" : event.key, at: event.timeStamp, verdict: ofVerdict(event.key), inField });
      if (keys.length === 1 ? !beside : isOneVerdict(keys)) return lone(event.key, inField);
      about?.removeAttribute("data-about");
      // The cursor may have come into the field in the midst of a code.
      if (inField && (keys.length === 1 || keys.at(-2).inField)) return;
      event.preventDefault();
      keys.at(-1).inField = true;
      field.value = text(keys);
      field.focus();
      field.setSelectionRange(field.value.length, field.value.length);
    });
    // What is pasted, or said, or read by the camera was not typed.
    field.addEventListener("input", (event) => event.inputType !== "insertText" && forget());
    // A press elsewhere takes a key back that was pressed just before.
    document.addEventListener("pointerdown", forget);
  };

  /** Shows the keys on the buttons, or takes them away. */
  const show = (region) => {
    for (const button of region.querySelectorAll("[data-key]")) {
      button.querySelector("kbd")?.remove();
      button.removeAttribute("aria-keyshortcuts");
      if (areOff()) continue;
      const key = document.createElement("kbd");
      key.textContent = button.dataset.key.toUpperCase();
      key.setAttribute("aria-hidden", "true");
      button.append(" ", key);
      button.setAttribute("aria-keyshortcuts", button.dataset.key);
    }
  };

  /** Ties the box that turns the keys on and off. */
  const tie = (box, region) => {
    box.closest("[hidden]")?.removeAttribute("hidden");
    box.checked = !areOff();
    box.addEventListener("change", () => {
      if (box.checked) localStorage.removeItem(OFF);
      else localStorage.setItem(OFF, "yes");
      show(region);
    });
  };

  return { isTyping, forget, listen, matches, plain, read, show, still, tie };
})();
