// Reads what a hand or a scanner types at the bench: codes, and single keys that stand on the buttons of the sheet.
"use strict";

ropeloft.scan = (() => {
  /** Of the keys of a scanner, one follows the other within this time; a hand is slower. */
  const SCANNER_MS = 60;
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
    const by = (names) => sheets.filter((sheet) => names(sheet).some((name) => name && plain(name) === wanted));
    const coded = by((sheet) => [sheet.mark, ...sheet.codes]);
    return coded.length ? coded : by((sheet) => [sheet.serial]);
  };

  const areOff = () => localStorage.getItem(OFF) === "yes";

  /** Whether a key belongs to what has the cursor. */
  const isTypedInto = (target) =>
    target.matches("select, textarea, input:not([type=radio], [type=checkbox])") || target.isContentEditable;

  /**
   * Listens on the page, wherever the cursor is but in a field: what is typed as fast as a scanner does, and ended with
   * Enter, goes to `scanned`; a key that stands alone presses the button of `region` that bears it, unless that is turned
   * off. A press beside everything takes the cursor out of `region`, and a scanner types on.
   */
  const listen = (region, scanned) => {
    let typed = "";
    let last = 0;
    let alone;
    const press = () => {
      const key = typed.toLowerCase();
      typed = "";
      if (key.length !== 1 || areOff()) return;
      const button = region.querySelector(`[data-key="${CSS.escape(key)}"]:not([hidden], [aria-disabled])`);
      button?.click();
    };
    document.addEventListener("keydown", (event) => {
      if (event.target.closest("dialog")) return;
      if (event.ctrlKey || event.metaKey || event.altKey || isTypedInto(event.target)) return;
      clearTimeout(alone);
      if (event.timeStamp - last > SCANNER_MS) typed = "";
      last = event.timeStamp;
      if (event.key === "Enter" && typed.length > 1) {
        event.preventDefault();
        const code = typed;
        typed = "";
        scanned(code);
        return;
      }
      if (event.key.length !== 1 || (event.key === " " && !typed)) return;
      typed += event.key;
      alone = setTimeout(press, 2 * SCANNER_MS);
    });
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

  return { listen, matches, plain, show, tie };
})();
