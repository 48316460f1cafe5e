// The visitor must notice what is wrong: a check that cannot fail checks nothing.
import assert from "node:assert/strict";
import { createServer } from "node:http";
import { after, before, test } from "node:test";
import { WAYS, openBrowser } from "../harness/browser.js";
import { Visitor } from "../harness/visitor.js";

const page = (main, head = "") =>
  `<!doctype html><html lang="en"><head><meta name="viewport" content="width=device-width"><title>A page</title>${head}</head><body><main><h1>A page</h1>${main}</main></body></html>`;

const PAGES = {
  "/good": page("<p>All is well.</p>"),
  "/pale": page('<p style="color: #ccc; background: #fff">Hard to read.</p>'),
  "/nameless": page("<input>"),
  "/wide": page('<p style="width: 3000px">Wide.</p>'),
  "/loud": page("<p>Loud.</p>", "<script>console.error('something broke')</script>"),
  "/chatty": page('<img alt="far" src="http://far.invalid/x.png">'),
  "/missing": page('<img alt="gone" src="/gone.png">'),
  "/inline": page("<p>Inline.</p>", "<script>document.title = ''</script>"),
};

let browser;
let server;
before(async () => {
  const http = createServer((request, answer) => {
    const body = PAGES[request.url];
    const policy = request.url === "/inline" ? { "content-security-policy": "script-src 'self'" } : {};
    answer.writeHead(body ? 200 : 404, { "content-type": "text/html; charset=utf-8", ...policy });
    answer.end(body ?? page("<p>Not here.</p>"));
  });
  await new Promise((open) => http.listen(0, "127.0.0.1", open));
  server = { origin: `http://127.0.0.1:${http.address().port}`, stop: () => http.close() };
  browser = await openBrowser();
});
after(async () => {
  await browser?.close();
  server?.stop();
});

async function looksAt(path, way = WAYS.deskLight) {
  const visitor = await Visitor.arrive(browser, server, way);
  try {
    await visitor.open(path);
  } finally {
    await visitor.leave(true);
  }
}

test("a good page is taken", async () => {
  await looksAt("/good");
  await looksAt("/good", WAYS.phoneDarkPlain);
});

for (const [path, complaint] of [
  ["/pale", /color-contrast/],
  ["/nameless", /label/],
  ["/wide", /wider than the screen/],
  ["/loud", /something broke/],
  ["/chatty", /left for http:\/\/far\.invalid/],
  ["/missing", /gone\.png answered 404/],
  ["/inline", /Content Security Policy/],
  ["/no-such-page", /answered 404/],
]) {
  test(`what is wrong at ${path} is noticed`, async () => {
    await assert.rejects(looksAt(path), complaint);
  });
}

test("without JavaScript no script runs, and what cannot be seen is noticed too", async () => {
  await looksAt("/loud", WAYS.deskLightPlain);
  await assert.rejects(looksAt("/pale", WAYS.deskLightPlain), /color-contrast/);
});
