// What this device keeps in IndexedDB: each record under a key of its own and with the person whose it is.
"use strict";

globalThis.ropeloft = globalThis.ropeloft ?? {};
ropeloft.person = document.querySelector("meta[name=person]")?.content ?? "";

ropeloft.kept = (() => {
  // queue: what is to be sent. drafts: what is begun. sheets, lists: what was taken along. done: what was sent.
  const STORES = ["queue", "drafts", "sheets", "lists", "done"];
  const TAKEN_ALONG = ["sheets", "lists", "done"];
  let opened;

  const open = () => {
    opened ??= new Promise((found, failed) => {
      const asked = indexedDB.open("ropeloft", 1);
      asked.onupgradeneeded = () => {
        for (const name of STORES) asked.result.createObjectStore(name, { keyPath: "key" });
      };
      asked.onsuccess = () => {
        asked.result.onversionchange = () => asked.result.close();
        found(asked.result);
      };
      asked.onerror = () => failed(asked.error);
    });
    return opened;
  };

  const answer = (asked) =>
    new Promise((found, failed) => {
      asked.onsuccess = () => found(asked.result);
      asked.onerror = () => failed(asked.error);
    });

  /** Changes several stores at once or none: `work` is given each of them by its name. */
  const change = async (names, work) => {
    const database = await open();
    const unit = database.transaction(names, "readwrite", { durability: "strict" });
    work(Object.fromEntries(names.map((name) => [name, unit.objectStore(name)])));
    await new Promise((done, failed) => {
      unit.oncomplete = done;
      unit.onerror = unit.onabort = () => failed(unit.error);
    });
  };

  /** What is kept in a store of the person who is signed in; of nobody else. */
  const all = async (name) => {
    const database = await open();
    const rows = await answer(database.transaction(name).objectStore(name).getAll());
    return rows.filter((row) => row.person === ropeloft.person);
  };

  /** What is kept in a store of everybody else. */
  const others = async (name) => {
    const database = await open();
    const rows = await answer(database.transaction(name).objectStore(name).getAll());
    return rows.filter((row) => row.person !== ropeloft.person);
  };

  const key = (id) => `${ropeloft.person} ${id}`;
  const get = async (name, id) => {
    const database = await open();
    return answer(database.transaction(name).objectStore(name).get(key(id)));
  };
  const put = (name, id, row) =>
    change([name], (stores) => stores[name].put({ ...row, key: key(id), person: ropeloft.person }));
  const remove = (name, id) => change([name], (stores) => stores[name].delete(key(id)));

  /** Forgets what was taken along, whoever did. What waits to be sent and what is begun stays, each for its person. */
  const forget = async () => {
    localStorage.removeItem("ropeloft-sitting");
    await change(TAKEN_ALONG, (stores) => {
      for (const store of Object.values(stores)) store.clear();
    });
    for (const name of (await globalThis.caches?.keys()) ?? []) await caches.delete(name);
  };

  /** Throws away what this person has typed into forms and not sent. */
  const forgetTyped = async () => {
    const typed = (await all("drafts")).filter((draft) => draft.form);
    await change(["drafts"], (stores) => typed.forEach((draft) => stores.drafts.delete(draft.key)));
  };

  /** Throws away what this person has begun and not sent. */
  const discard = async () => {
    for (const name of ["queue", "drafts"]) {
      for (const row of await all(name)) await change([name], (stores) => stores[name].delete(row.key));
    }
  };

  return { all, change, discard, forget, forgetTyped, get, key, others, put, remove };
})();

/** The worker that answers where there is no line, and the files of this page, as it keeps them. */
ropeloft.worker = async () => {
  await navigator.serviceWorker.register("/worker.js");
  const { active } = await navigator.serviceWorker.ready;
  const files = [...document.querySelectorAll("link[href^='/static/'], script[src], img[src^='/static/']")];
  return { active, files: files.map((file) => new URL(file.src ?? file.href).pathname) };
};

// Whoever has signed out leaves nothing behind that could be read. What was sent after a sign-in had ended was not taken.
if (!ropeloft.person) {
  sessionStorage.removeItem("ropeloft-sent");
  ropeloft.kept.forget().catch(() => {});
}
