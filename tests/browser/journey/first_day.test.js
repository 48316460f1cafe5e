// The first day: an empty house, its first administrator, the others, and everyone's own account.
import assert from "node:assert/strict";
import { WAYS } from "../harness/browser.js";
import { walk } from "../harness/walk.js";

const CODE = "first come first served";
const ADA = { name: "ada.brook", password: "three blue pulleys" };
const JON = { name: "jon.fell", password: "one more long word" };

walk(
  "the first person sets the house up and lets the others in",
  [WAYS.deskLight, WAYS.phoneDarkPlain],
  "serve",
  async (scene) => {
    const ada = await scene.stranger();
    await setsUp(ada);
    await letsIn(ada);
    await keepsHerAccount(ada);
    const jon = await scene.stranger();
    await jon.signIn(JON);
    await jon.open("/people", { status: 403 });
  },
  { ROPELOFT_SETUP_CODE: CODE },
);

async function setsUp(ada) {
  await ada.open("/");
  await ada.reads("Set up Ropeloft for your team");
  await ada.write("Name of the team", "Harbour rescue");
  await ada.press("Set up", { status: 422 });
  await ada.reads(/Nothing was saved: \d things to mend/);
  assert.equal(await ada.field("Name of the team").inputValue(), "Harbour rescue");
  await ada.write("Set-up code", CODE);
  await ada.choose("Time zone", "Europe/Oslo");
  await ada.write("Your name", "Ada Brook");
  await ada.write("Sign-in name", ADA.name);
  await ada.write("Password", ADA.password);
  await ada.tick("I am competent to examine every kind of our gear");
  await ada.write("Since when, if you tick", "2024-05-01");
  await ada.write("Evidence, if you tick", "Course for competent persons, 2024.");
  await ada.press("Set up");
  await ada.reads("Ropeloft is set up for your team, and you are signed in.");
  await ada.reads("Ada Brook");
}

async function letsIn(ada) {
  await ada.section("People");
  await ada.follow("Add a person");
  await ada.write("Name", "Jon Fell");
  await ada.write("Sign-in name", JON.name);
  await ada.choose("Role", /crew/i);
  await ada.write("First password", "short");
  await ada.press("Add the person", { status: 422 });
  assert.equal(await ada.field("Name").inputValue(), "Jon Fell");
  await ada.write("First password", JON.password);
  await ada.press("Add the person");
  await ada.section("People");
  await ada.follow("Jon Fell");
  await ada.reads(/signs in as jon\.fell/);
}

async function keepsHerAccount(ada) {
  await ada.follow("Ada Brook");
  await ada.choose("Light or dark", /dark/i);
  await ada.press("Save");
  await ada.follow("Tokens for machines", { within: ada.page.getByRole("main") });
  await ada.write("What it is for", "Label printer");
  await ada.press("Make the token");
  await ada.reads("The new token");
  await ada.open("/settings/sessions");
  await ada.open("/settings/password");
  await ada.press("Sign out");
  await ada.reads("You are signed out.");
  await ada.signIn(ADA);
}
