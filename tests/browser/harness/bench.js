// What people do at the bench: scan, look, give a verdict.

const PATIENCE_MS = 30_000;
const AGAIN_MS = 100;

/** Waits until `holds`, asked in the page, comes to something true; unlike the library's own it waits for a promise too. */
async function until(visitor, holds, what) {
  const end = Date.now() + PATIENCE_MS;
  while (!(await visitor.page.evaluate(holds))) {
    if (Date.now() > end) throw new Error(`${what} did not come true in ${PATIENCE_MS} ms`);
    await visitor.page.waitForTimeout(AGAIN_MS);
  }
}

/** Waits until the list is kept, and the script for no line rules the page. */
export async function onThisDevice(visitor) {
  await visitor.page.getByText(/on this device as of/).waitFor();
  const isKept = async () => {
    const kept = await caches.open("ropeloft-bench").then((cache) => cache.match("/bench"));
    return Boolean(navigator.serviceWorker.controller && kept);
  };
  await until(visitor, isKept, "that the page is kept");
}

/** Types a code into the field and ends it as a scanner does. */
export async function scans(visitor, mark) {
  await visitor.field("Code, mark or serial").fill(mark);
  await visitor.page.keyboard.press("Enter");
  await opened(visitor, mark);
}

/** Waits until the sheet of the item with this mark is open. */
export async function opened(visitor, mark) {
  await visitor.page.locator(`[data-mark="${mark}"]`).waitFor();
  await visitor.page.waitForFunction(() => document.activeElement?.id === "sheet");
}

/** Presses the key of a verdict. */
export async function presses(visitor, key, said) {
  await visitor.page.locator("#sheet").focus();
  await visitor.page.keyboard.press(key);
  await visitor.page.locator("[data-said]").getByText(said, { exact: true }).waitFor();
}

/** Measures what the model sets a limit to: the key alone would be told that it is missing. */
export async function measures(officer) {
  for (const row of await officer.page.locator('[data-criterion]:not([data-points="0"])').all()) {
    const limit = await row.evaluate((one) => one.dataset.most || one.dataset.least);
    for (const field of await row.locator(".trio input").all()) await field.fill(limit);
  }
}

/** Waits until nothing waits to be sent. */
export async function everythingIsSent(visitor) {
  const isSent = async () => (await globalThis.ropeloft.queue.entries()).length === 0;
  await until(visitor, isSent, "that everything is sent");
}

/** The examinations of the item with this mark, the last first. */
export async function examinations(visitor, mark) {
  const { item } = await visitor.json(`/api/v1/scan?code=${encodeURIComponent(mark)}`);
  return (await visitor.json(`/api/v1/items/${item.id}/examinations`)).examinations;
}
