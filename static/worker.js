// Opens the bench where there is no line. It keeps that page and its files, and nothing else; what is on the page is
// kept by the page itself. Whoever signs out takes it all away.
"use strict";

const CACHE = "ropeloft-bench";
const PAGE = "/bench";
/** How long a page is waited for where there is hardly a line. */
const PATIENCE_MS = 4_000;

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

self.addEventListener("message", (event) => {
  if (Array.isArray(event.data?.keep)) event.waitUntil(keep(event.data.keep));
});

/** Keeps the page as it is now with these files, and drops those of before. */
async function keep(files) {
  const page = await fetch(PAGE, { redirect: "error", credentials: "same-origin" });
  if (!page.ok) return;
  const cache = await caches.open(CACHE);
  for (const file of files) {
    if (!(await cache.match(file))) await cache.add(file);
  }
  await cache.put(PAGE, page);
  const kept = new Set([PAGE, ...files].map((address) => new URL(address, self.location.origin).href));
  for (const request of await cache.keys()) {
    if (!kept.has(request.url)) await cache.delete(request);
  }
}

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const { origin, pathname } = new URL(request.url);
  if (request.method !== "GET" || origin !== self.location.origin) return;
  if (pathname.startsWith("/static/")) event.respondWith(kept(request));
  else if (request.mode === "navigate" && pathname === PAGE) event.respondWith(opened(request));
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
