// What was written is kept on this device until the server has taken it: a list of { id, url, body }.
//
// An entry with a `file` in place of a body is put as it is; one with `after` goes only once the entry of that id has been
// taken, and is thrown away with it. A held one waits until somebody lets it go.
//
// An entry has an id that the client made, so that what is sent twice is recorded once; it is bound to the person who
// wrote it, and the server is told who that is, so that nobody sends it under another name. `label` is what people call
// it, `of` what it is about, `open` the page where it can be looked at again. Any page may add entries.
"use strict";

ropeloft.queue = (() => {
  const { kept } = ropeloft;
  /** How often is looked for what another page has left behind. */
  const LOOK_MS = 30_000;
  /** What could not be sent is tried again after this long, then after twice as long each time, up to the most. */
  const FIRST_AGAIN_MS = 2_000;
  const MOST_AGAIN_MS = 60_000;
  const LONGEST_MS = 20_000;
  /** A file has as long as this, since a thin line is slow. */
  const LONGEST_FILE_MS = 180_000;
  /** `away`: no line; `stranger`: nobody, or somebody else, is signed in; `here`: as far as is known, fine. */
  let line = "here";
  let sending;
  /** How often in a row it could not be sent, and what tries again. */
  let failed = 0;
  let trying;

  const entries = async () => (await kept.all("queue")).sort((a, b) => a.at - b.at);
  const told = (what, detail = {}) => document.dispatchEvent(new CustomEvent(`queue:${what}`, { detail }));

  const row = (entry) => ({
    state: "waiting",
    said: [],
    at: Date.now(),
    ...entry,
    key: kept.key(entry.id),
    person: ropeloft.person,
    whose: document.querySelector("meta[name=person-name]")?.content ?? "",
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

  /** Keeps an entry that is not to be sent yet. */
  const hold = async (entry) => {
    await kept.change(["queue"], (open) => open.queue.put({ ...row(entry), state: "held" }));
    told("changed");
  };

  const post = ({ url, body, file, person }) =>
    fetch(url, {
      method: file ? "PUT" : "POST",
      headers: { "content-type": file?.type ?? "application/json", "ropeloft-person": person },
      body: file ?? JSON.stringify(body),
      signal: AbortSignal.timeout(file ? LONGEST_FILE_MS : LONGEST_MS),
    });

  /** The sentences of a refusal, and the names of the fields that it is about. */
  const refusal = async (answer) => {
    const { fields = [], detail = `The server answered ${answer.status}.` } = await answer.json().catch(() => ({}));
    const said = fields.length ? fields.map((field) => field.message) : [detail];
    return { said, wrong: fields.map((field) => field.field) };
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
      const said = await answer.json().catch(() => null);
      // What the thing still waits for, though it was taken.
      const waits = said?.waits_for ?? "";
      await kept.change(["queue", "done"], (open) => {
        open.queue.delete(key);
        open.done.put({ key, person, id, of, label, at, waits });
      });
      told("sent", { entry, answer: said });
    } else {
      const refused = await refusal(answer);
      await kept.change(["queue"], (open) => open.queue.put({ ...entry, state: "refused", ...refused }));
    }
    return true;
  };

  /** Tries again later: by chance up to half as early, so that phones that lost one server do not all ask it at once. */
  const later = () => {
    const most = Math.min(FIRST_AGAIN_MS * 2 ** failed, MOST_AGAIN_MS);
    failed += 1;
    trying = setTimeout(flush, most * (1 - Math.random() / 2));
  };

  const sendAll = async () => {
    clearTimeout(trying);
    trying = undefined;
    let all = true;
    for (const entry of await entries()) {
      if (entry.state !== "waiting") continue;
      const before = entry.after && (await kept.get("queue", entry.after));
      if (before) continue;
      all = await send(entry);
      if (!all) break;
    }
    if (all) failed = 0;
    else later();
    told("changed");
  };

  /** Sends what waits, in its order; of several pages only one does. */
  const flush = () => {
    const once = () => (navigator.locks ? navigator.locks.request("ropeloft-queue", sendAll) : sendAll());
    sending = (sending ?? Promise.resolve()).then(once).catch(() => {});
    return sending;
  };

  /** Throws an entry away, with those that go only after it. */
  const discard = async (id) => {
    const gone = (await entries()).filter((entry) => entry.id === id || entry.after === id);
    await kept.change(["queue"], (open) => gone.forEach((entry) => open.queue.delete(entry.key)));
    told("changed");
  };

  /** Tries once more to send what was not taken. */
  const again = async (id) => {
    const entry = await kept.get("queue", id);
    if (entry) await kept.change(["queue"], (open) => open.queue.put({ ...entry, state: "waiting", said: [] }));
    told("changed");
    flush();
  };

  /** A line that is back may still falter for a moment: the waits begin anew, however long they had become without one. */
  const isBack = () => {
    failed = 0;
    return flush();
  };

  window.addEventListener("online", isBack);
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && flush());
  setInterval(async () => {
    if (!trying && (await entries()).some((entry) => entry.state === "waiting")) flush();
  }, LOOK_MS);

  return { add, again, discard, entries, flush, hold, line: () => line };
})();
