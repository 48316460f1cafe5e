// What is taken along: the sheets of a list, and the page, for where there is no line.
"use strict";

ropeloft.taken = (() => {
  const { kept } = ropeloft;
  let lists;
  /** Whether the worker has said that it keeps this page. */
  let pageIsKept = false;

  /** The sheets in an answer of the server, as they are kept. */
  const sheetsOf = (page) =>
    [...page.querySelectorAll("[data-sheet]")].map((article) => ({
      key: kept.key(article.dataset.sheet),
      person: ropeloft.person,
      id: article.dataset.sheet,
      mark: article.dataset.mark,
      serial: article.dataset.serial,
      codes: article.dataset.codes.split("\n").filter(Boolean),
      html: article.outerHTML,
    }));

  const parsed = (html) => new DOMParser().parseFromString(html, "text/html");

  /** Asks the server for sheets. Gives the page; or what to say where there is none; or nothing where there is no line. */
  const ask = async (query, patience) => {
    let answer;
    try {
      answer = await fetch(`/bench/sheets?${query}`, { redirect: "manual", signal: AbortSignal.timeout(patience) });
    } catch {
      return undefined;
    }
    if (answer.type === "opaqueredirect" || answer.status >= 500) return undefined;
    const page = parsed(await answer.text());
    if (answer.ok) return { page };
    const all = (which) => [...page.querySelectorAll(which)].map((line) => line.textContent.trim()).join(" ");
    return { words: all("main > .list li") || all(".answer .why") || `The server answered ${answer.status}.` };
  };

  const carry = async () => {
    const list = lists.querySelector("[data-list]");
    if (!list || lists.dataset.stored) return;
    const found = await ask(list.dataset.list, 60_000);
    if (!found?.page) return;
    const sheets = sheetsOf(found.page);
    const drafts = new Set((await kept.all("drafts")).map((draft) => draft.id));
    const stale = (await kept.all("sheets")).filter((one) => !drafts.has(one.id));
    await kept.change(["sheets", "lists"], (stores) => {
      for (const one of stale) stores.sheets.delete(one.key);
      for (const one of sheets) stores.sheets.put(one);
      stores.lists.put({
        key: kept.key("list"), person: ropeloft.person, html: list.outerHTML, query: list.dataset.list, at: Date.now(), size: sheets.length,
      });
    });
    await carried();
  };

  /** Says what this device has with it, and shows the list that was taken along where the page brought none. */
  const carried = async () => {
    const list = await kept.get("lists", "list");
    const brought = lists.querySelector("[data-list]");
    if (!list || (brought && brought.dataset.list !== list.query)) return;
    if (!brought) {
      lists.dataset.stored = "yes";
      lists.append(...parsed(list.html).body.children);
    }
    ropeloft.wayBack = () => `/bench?${list.query}`;
    const line = lists.querySelector("[data-carried]");
    const at = new Date(list.at).toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });
    const size = list.size === 1 ? "1 item is" : `${list.size} items are`;
    const where = pageIsKept ? "they open without a line too" : "while this page stays open they need no line";
    line.textContent = `${size} on this device as of ${at}; ${where}.`;
    line.hidden = false;
  };

  const keepThePage = async () => {
    if (!navigator.serviceWorker) return;
    const { active, files } = await ropeloft.worker();
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = ({ data }) => {
      pageIsKept = data?.kept === true;
      carried();
    };
    active.postMessage({ keep: files }, [port2]);
  };

  /** Ties the lists of the page; a row opens its item with `show`. */
  const tie = async (place, show) => {
    lists = place;
    lists.addEventListener("click", async (event) => {
      const leave = event.target.closest("[data-leave]");
      const row = event.target.closest("[data-row] a");
      if (!leave && !row) return;
      event.preventDefault();
      if (row) return show(row.closest("[data-row]").dataset.row, row.textContent);
      const drafts = new Set((await kept.all("drafts")).map((draft) => draft.id));
      const sheets = (await kept.all("sheets")).filter((one) => !drafts.has(one.id));
      await kept.change(["sheets", "lists"], (stores) => {
        for (const one of sheets) stores.sheets.delete(one.key);
        stores.lists.delete(kept.key("list"));
      });
      location.assign(leave.href);
    });
    await carried();
    // Where it fails, the page goes on saying that it must stay open.
    keepThePage().catch(() => {});
  };

  return { ask, carry, parsed, sheetsOf, tie };
})();
