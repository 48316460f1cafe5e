// Somebody without an account: what the door shows, and what it keeps.
import assert from "node:assert/strict";
import { WAYS } from "../harness/browser.js";
import { walk } from "../harness/walk.js";

walk("a stranger is asked to sign in, and told what is wrong", Object.values(WAYS), "demo", async (scene) => {
  const stranger = await scene.stranger();
  await stranger.open("/");
  await stranger.reads("Sign in");
  await stranger.write("Sign-in name", "nobody");
  await stranger.write("Password", "not this one");
  await stranger.press("Sign in", { status: 422 });
  await stranger.reads("You are not signed in: one thing to mend.");
  await stranger.open("/no/such/page", { status: 404 });
  await stranger.follow("Go to the start");
  await stranger.open("/style");
  // It has a form with faults in it, and opens at its top all the same.
  await stranger.page.waitForLoadState("networkidle");
  assert.equal(await stranger.page.evaluate(() => scrollY), 0);
});
