// Somebody without an account: what the door shows, and what it keeps.
import { after, before, test } from "node:test";
import { WAYS, openBrowser } from "../harness/browser.js";
import { openServer } from "../harness/server.js";
import { Visitor } from "../harness/visitor.js";

let browser;
let server;
before(async () => {
  [browser, server] = await Promise.all([openBrowser(), openServer("serve")]);
});
after(async () => {
  await browser?.close();
  await server?.stop();
});

for (const way of Object.values(WAYS)) {
  test(`a stranger is asked to sign in, and told what is wrong (${way.name})`, async () => {
    const stranger = await Visitor.arrive(browser, server, way);
    await stranger.open("/");
    await stranger.reads("Sign in");
    await stranger.write("Sign-in name", "nobody");
    await stranger.write("Password", "not this one");
    await stranger.press("Sign in", { status: 422 });
    await stranger.reads("Nothing was saved: one thing to mend.");
    await stranger.open("/no/such/page", { status: 404 });
    await stranger.follow("Go to the start");
    await stranger.leave();
  });

  test(`every part of the look can be read by everybody (${way.name})`, async () => {
    const stranger = await Visitor.arrive(browser, server, way);
    await stranger.open("/style");
    await stranger.leave();
  });
}
