// What was written is kept on this device until the server has taken it: a list of { id, url, body }.
//
// An entry has an id that the client made, so that what is sent twice is recorded once; it is bound to the person who
// wrote it, and the server is told who that is, so that nobody sends it under another name. `label` is what people call
// it, `of` what it is about, `open` the page where it can be looked at again. Any page may add entries.
"use strict";

ropeloft.queue = (() => {
  const { kept } = ropeloft;
  const AGAIN_MS = 30_000;
  const LONGEST_MS = 20_000;
  /** `away`: no line; `stranger`: nobody, or somebody else, is signed in; `here`: as far as is known, fine. */
  let line = "here";
  let sending;

  const entries = async () => (await kept.all("queue")).sort((a, b) => a.at - b.at);
  const told = (what, detail = {}) => document.dispatchEvent(new CustomEvent(`queue:${what}`, { detail }));

  const row = (entry) => ({
    state: "waiting",
    said: [],
    at: Date.now(),
    ...entry,
    key: kept.key(entry.id),
    person: ropeloft.person,
  });

  /** Adds an entry, in one stroke with what `also` does to `stores`, and sends it. */
  const add = async (entry, stores = [], also = () => {}) => {
    await kept.change(["queue", ...stores], (open) => {
      open.queue.put(row(entry));
      also(open);
    });
    told("changed");
    flush();
  };

  const post = (entry) =>
    fetch(entry.url, {
      method: "POST",
      headers: { "content-type": "application/json", "ropeloft-person": entry.person },
      body: JSON.stringify(entry.body),
      signal: AbortSignal.timeout(LONGEST_MS),
    });

  /** The sentences of a refusal. */
  const sentences = async (answer) => {
    const problem = await answer.json().catch(() => ({}));
    const fields = (problem.fields ?? []).map((field) => field.message);
    return fields.length ? fields : [problem.detail ?? `The server answered ${answer.status}.`];
  };

  /** Sends one entry; whether the next may be tried. */
  const send = async (entry) => {
    let answer;
    try {
      answer = await post(entry);
    } catch {
      line = "away";
      return false;
    }
    if (answer.status === 401) {
      line = "stranger";
      return false;
    }
    if (answer.status >= 500 || answer.status === 429) {
      line = "away";
      return false;
    }
    line = "here";
    if (answer.ok) {
      const { key, person, id, of, label, at } = entry;
      await kept.change(["queue", "done"], (open) => {
        open.queue.delete(key);
        open.done.put({ key, person, id, of, label, at });
      });
      told("sent", { entry, answer: await answer.json().catch(() => null) });
    } else {
      const said = await sentences(answer);
      await kept.change(["queue"], (open) => open.queue.put({ ...entry, state: "refused", said }));
    }
    return true;
  };

  const sendAll = async () => {
    for (const entry of await entries()) {
      if (entry.state === "waiting" && !(await send(entry))) break;
    }
    told("changed");
  };

  /** Sends what waits, in its order; of several pages only one does. */
  const flush = () => {
    const once = () => (navigator.locks ? navigator.locks.request("ropeloft-queue", sendAll) : sendAll());
    sending = (sending ?? Promise.resolve()).then(once).catch(() => {});
    return sending;
  };

  const discard = async (id) => {
    await kept.remove("queue", id);
    told("changed");
  };

  window.addEventListener("online", flush);
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && flush());
  setInterval(async () => {
    if ((await entries()).some((entry) => entry.state === "waiting")) flush();
  }, AGAIN_MS);

  return { add, discard, entries, flush, line: () => line };
})();
