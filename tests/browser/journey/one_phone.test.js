// One phone for two people: the second signs on it with a sign-in name and a password of their own, while there is a line.
import assert from "node:assert/strict";
import { WAYS } from "../harness/browser.js";
import { walk } from "../harness/walk.js";

const JOB = "Valve spindles, Hallow Lane";

walk("the second person signs the function check on the phone of the first", [WAYS.phoneDark, WAYS.phoneLightPlain], "demo", async (scene) => {
  const crew = await scene.person("crew");
  await crew.section("Jobs");
  await crew.follow(JOB);
  await crew.follow("Function check");
  await crew.reads("That second signature needs a line to the server; the first does not.");
  await isAllRight(crew);
  await crew.press("Sign as the first person");
  await crew.reads("a password is never kept on a device");
  await isAllRight(crew);
  const { name, password } = scene.people.officer;
  await crew.write("Sign-in name of the second person", name);
  await crew.write("Their password", "not this one");
  await crew.press("Sign as the second person, on this device", { status: 422 });
  await crew.reads("The sign-in name or the password is not right");
  await crew.picture(`second signature refused, ${crew.way.name}`);
  assert.equal(await crew.field("Sign-in name of the second person").inputValue(), name, "nothing typed is lost");
  assert.equal(await crew.field("Their password").inputValue(), "", "but the password");
  await crew.write("Their password", password);
  if (crew.way.javaScript) await staysWithoutALine(crew, password);
  await crew.press("Sign as the second person, on this device");
  await crew.answer(/Signed by .+ and .+/);
  await crew.reads(/, on the device of Jory Pellan/);
  await crew.picture(`signed by two on one phone, ${crew.way.name}`);
});

async function isAllRight(crew) {
  for (const right of await crew.page.getByRole("radio", { name: "Right", exact: true }).all()) await right.check();
}

/** Where there is no line nothing is kept of it, and everything stays on the page. */
async function staysWithoutALine(crew, password) {
  await crew.line(false);
  await crew.page.getByRole("button", { name: /^Sign as/ }).click();
  await crew.reads("Not signed: there is no line");
  const kept = await crew.page.evaluate(async () => JSON.stringify(await globalThis.ropeloft.queue.entries()));
  assert.equal(kept, "[]", "no queue takes a password");
  assert.equal(await crew.field("Their password").inputValue(), password);
  await crew.line(true);
}
