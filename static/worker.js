// Opens the bench and the jobs that were taken along where there is no line. It keeps those pages and their files, and
// nothing else; what is typed on a page is kept by the page itself. Whoever signs out takes it all away.
"use strict";

const CACHE = "ropeloft-bench";
const PAGE = "/bench";
/** The pages of jobs that were taken along, and the list of them. */
const JOBS = "ropeloft-jobs";
const LIST = "/along";
/** A page that was taken along less long ago is not asked for again. */
const FRESH_MS = 60_000;
/** How many pages of jobs are kept, drawings and files among them; the oldest go first. */
const MOST = 240;
/** What belongs to a page of a job and goes along with it: the drawing of each phase, and the kit list to print. */
const BESIDE = /href="(\/jobs\/[^"?#]+(?:\?phase=[a-z-]+|\/kit\.pdf))"/g;
/** How long a page is waited for where there is hardly a line. */
const PATIENCE_MS = 4_000;

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

self.addEventListener("message", (event) => {
  if (Array.isArray(event.data?.keep)) {
    const answered = (kept) => event.ports[0]?.postMessage({ kept });
    event.waitUntil(keep(event.data.keep).then(answered, () => answered(false)));
  }
  if (event.data?.along) event.waitUntil(takeAlong(event.data.along));
});

/** Keeps the page as it is now with these files, and drops those of before. Gives whether it has. */
async function keep(files) {
  const page = await fetch(PAGE, { redirect: "error", credentials: "same-origin" });
  if (!page.ok) return false;
  const cache = await caches.open(CACHE);
  for (const file of files) {
    if (!(await cache.match(file))) await cache.add(file);
  }
  await cache.put(PAGE, page);
  const kept = new Set([PAGE, ...files].map((address) => new URL(address, self.location.origin).href));
  for (const request of await cache.keys()) {
    if (!kept.has(request.url)) await cache.delete(request);
  }
  return true;
}

/** When a page was given by the server. */
const given = (answer) => Date.parse(answer.headers.get("date") ?? "") || 0;

/** A page that has not changed, as it stands at the moment at which the server said so. */
async function stillSo(before, answer) {
  const headers = new Headers(before.headers);
  headers.set("date", answer.headers.get("date") ?? new Date().toUTCString());
  headers.delete("content-encoding");
  headers.delete("content-length");
  return new Response(await before.blob(), { headers });
}

/** Whether an answer is a page, and no file. */
const isPage = (answer) => (answer.headers.get("content-type") ?? "").startsWith("text/html");

/** Takes one page along as it is now. What is not there any more is dropped. */
async function takeOne(cache, page) {
  const before = await cache.match(page);
  if (before && Date.now() - given(before) < FRESH_MS) return;
  const mark = before?.headers.get("etag");
  const headers = mark ? { "if-none-match": mark } : {};
  const answer = await fetch(page, { redirect: "error", credentials: "same-origin", headers }).catch(() => null);
  if (answer?.ok) await cache.put(page, answer);
  else if (answer?.status === 304) await cache.put(page, await stillSo(before, answer));
  else if (answer && answer.status < 500) await cache.delete(page);
}

/** Takes pages along with what is beside them, and these files. */
async function takeAlong({ pages, files }) {
  const cache = await caches.open(JOBS);
  for (const file of files) {
    if (!(await cache.match(file))) await cache.add(file);
  }
  const wanted = new Set([LIST, ...pages]);
  // What is added on the way is come to as well.
  for (const page of wanted) {
    await takeOne(cache, page);
    const kept = await cache.match(page);
    if (!kept || !isPage(kept)) continue;
    for (const [, beside] of (await kept.text()).matchAll(BESIDE)) wanted.add(beside);
  }
  await dropOldest(cache);
}

/** Drops the oldest pages beyond the most, and files that no page needs any more. */
async function dropOldest(cache) {
  const isFile = (request) => new URL(request.url).pathname.startsWith("/static/");
  const all = await cache.keys();
  const pages = await Promise.all(
    all.filter((request) => !isFile(request)).map(async (request) => ({ request, answer: await cache.match(request) })),
  );
  pages.sort((a, b) => given(b.answer) - given(a.answer));
  for (const { request } of pages.slice(MOST)) await cache.delete(request);
  const shown = pages.slice(0, MOST).filter(({ answer }) => isPage(answer));
  const texts = await Promise.all(shown.map(({ answer }) => answer.text()));
  for (const request of all.filter(isFile)) {
    const { pathname } = new URL(request.url);
    if (!texts.some((text) => text.includes(pathname))) await cache.delete(request);
  }
}

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const { origin, pathname, search } = new URL(request.url);
  if (request.method !== "GET" || origin !== self.location.origin) return;
  if (pathname.startsWith("/static/")) event.respondWith(kept(request));
  else if (request.mode === "navigate" && pathname === PAGE) event.respondWith(opened(request));
  else if (request.mode === "navigate") event.respondWith(openedAnywhere(request, pathname, search));
});

async function kept(request) {
  return (await caches.match(request)) ?? fetch(request);
}

async function opened(request) {
  const before = await caches.match(PAGE);
  if (!before) return fetch(request);
  const late = new Promise((done) => setTimeout(done, PATIENCE_MS, before));
  return Promise.race([fetch(request).catch(() => before), late]);
}

/** A page from the server; else as it was taken along; else the list of what was. */
async function openedAnywhere(request, pathname, search) {
  const cache = await caches.open(JOBS);
  const before = await cache.match(pathname + search);
  const asked = fetch(request).then((answer) => {
    if (before && answer.ok) cache.put(pathname + search, answer.clone());
    return answer;
  });
  if (before) {
    const late = new Promise((done) => setTimeout(done, PATIENCE_MS));
    return (await Promise.race([asked.catch(() => undefined), late])) ?? marked(before);
  }
  return asked.catch(async (error) => {
    const list = await cache.match(LIST);
    if (!list) throw error;
    return marked(list, pathname);
  });
}

/** The page with the moment that it is from on its root, and what was asked for in its place. A file says itself when it was made. */
async function marked(answer, missing = "") {
  if (!isPage(answer)) return answer;
  const text = await answer.text();
  const headers = new Headers(answer.headers);
  headers.delete("content-encoding");
  headers.delete("content-length");
  const words = `data-kept="${given(answer)}"${missing && missing !== LIST ? ' data-missing="yes"' : ""}`;
  return new Response(text.replace("<html ", `<html ${words} `), { headers });
}
