// Photos taken while an item lies on the bench. Each is kept on this device as an entry of the queue that is held until
// its record is written, and sent after it; it is made smaller here first, so that a thin line carries it.
"use strict";

ropeloft.photo = (() => {
  const { kept, queue } = ropeloft;
  /** The longer side of a photo as the server keeps it, in pixels. */
  const LONGEST_SIDE = 2048;
  const SMALL_SIDE = 240;
  const QUALITY = 0.88;
  const TAKEN = ["image/jpeg", "image/png", "image/webp"];
  const CAPTION = "caption-";

  /** Those that are held for a record, in the order in which they were taken. */
  const of = async (record) => (await queue.entries()).filter((entry) => entry.after === record);

  const drawn = (picture, side) => {
    const canvas = document.createElement("canvas");
    const scale = Math.min(1, side / Math.max(picture.width, picture.height));
    canvas.width = Math.max(1, Math.round(picture.width * scale));
    canvas.height = Math.max(1, Math.round(picture.height * scale));
    canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
    return canvas;
  };

  /** The photo as it is sent; one that is small enough goes as it is. */
  const shrunk = async (file) => {
    const picture = await createImageBitmap(file);
    if (Math.max(picture.width, picture.height) <= LONGEST_SIDE && TAKEN.includes(file.type)) return file;
    const canvas = drawn(picture, LONGEST_SIDE);
    return new Promise((done, failed) => {
      canvas.toBlob((blob) => (blob ? done(blob) : failed(new Error("no photo"))), "image/jpeg", QUALITY);
    });
  };

  const complain = (place, sentences) => {
    place.hidden = sentences.length === 0;
    place.textContent = sentences.join(" ");
  };

  /** Why a file is not taken; empty where it is. */
  const unfit = (file, place) => {
    const most = Number(place.dataset.mostBytes);
    const mib = (bytes) => `${(bytes / 1024 / 1024).toFixed(1)} MiB`;
    return file.size > most ? `${file.name}: a photo may have at most ${mib(most)}; this one has ${mib(file.size)}.` : "";
  };

  /** Keeps a photo for the record, and gives its entry; or what is wrong with it. */
  const keep = async (file, place, { record, mark }) => {
    const wrong = unfit(file, place);
    if (wrong) return { wrong };
    const entry = { id: crypto.randomUUID(), of: record, after: record, label: `${mark}: photo`, name: file.name };
    try {
      entry.file = await shrunk(file);
    } catch {
      return { wrong: `${file.name}: this cannot be read here as a photo. Take it as JPEG, PNG or WebP.` };
    }
    try {
      await queue.hold(entry);
    } catch {
      return { wrong: `${file.name}: this device has no room for it. What is written stays; take the photo again once there is room.` };
    }
    return { entry };
  };

  const row = (entry, gone) => {
    const line = document.createElement("li");
    const picture = Object.assign(document.createElement("canvas"), { width: 1, height: 1 });
    picture.setAttribute("role", "img");
    picture.setAttribute("aria-label", entry.name || "Photo");
    createImageBitmap(entry.file)
      .then((found) => {
        const small = drawn(found, SMALL_SIDE);
        [picture.width, picture.height] = [small.width, small.height];
        picture.getContext("2d").drawImage(small, 0, 0);
      })
      .catch(() => {});
    const field = document.createElement("div");
    field.className = "field";
    const label = Object.assign(document.createElement("label"), { textContent: `What ${entry.name || "the photo"} shows`, htmlFor: `${CAPTION}${entry.id}` });
    const caption = Object.assign(document.createElement("input"), { type: "text", id: `${CAPTION}${entry.id}`, name: `${CAPTION}${entry.id}`, maxLength: 200 });
    field.append(label, caption);
    const remove = Object.assign(document.createElement("button"), { type: "button", className: "plain", textContent: "Leave out" });
    remove.setAttribute("aria-label", `Leave out ${entry.name || "the photo"}`);
    remove.addEventListener("click", async () => {
      await queue.discard(entry.id);
      line.remove();
      gone();
    });
    line.append(picture, field, remove);
    return line;
  };

  /** Ties the part of a sheet that takes photos, and shows those that are held for the record that it makes. */
  const lay = async (form, open, begun) => {
    const place = form.querySelector("[data-photos]");
    const list = place.querySelector("ul");
    const wrong = place.querySelector("[data-photo-wrong]");
    const chosen = [...place.querySelectorAll("input[type=file]")];
    const most = Number(place.dataset.most);
    place.hidden = place.disabled = false;
    form.querySelector("[data-no-photos]").hidden = true;
    const gone = () => chosen[0].focus();
    for (const entry of await of(open.record)) list.append(row(entry, gone));
    const take = async (field) => {
      const files = [...field.files];
      field.value = "";
      const said = [];
      for (const file of files) {
        if (list.children.length >= most) {
          said.push(`${file.name}: a record takes at most ${most} photos here. Add the others on its own page.`);
          continue;
        }
        const { entry, wrong: why } = await keep(file, place, open);
        if (entry) list.append(row(entry, gone));
        else said.push(why);
      }
      complain(wrong, said);
      await begun();
      list.querySelector("li:last-child input")?.focus();
    };
    for (const field of chosen) field.addEventListener("change", () => take(field));
  };

  /** What is missing: a sentence with its field for each photo that says nothing. */
  const faults = (form) =>
    [...form.querySelectorAll(`[name^="${CAPTION}"]`)]
      .filter((field) => !field.value.trim())
      .map((field) => ["Write what the photo shows: it is read out to whoever cannot see it.", field]);

  /** The entries of a record as they go behind it. */
  const sendable = async (record, form) =>
    (await of(record)).map((entry, at) => {
      const caption = form.querySelector(`[name="${CAPTION}${entry.id}"]`)?.value.trim() ?? "";
      const query = new URLSearchParams({ examination: record, caption, name: entry.name });
      return { ...entry, state: "waiting", said: [], at: Date.now() + 1 + at, url: `/api/v1/attachments/${entry.id}?${query}` };
    });

  return { faults, lay, of, sendable };
})();
