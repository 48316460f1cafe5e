// The equipment officer brings in a list that was kept elsewhere: first a rehearsal, then all of it or nothing.
import assert from "node:assert/strict";
import { WAYS } from "../harness/browser.js";
import { bringIn, inventory } from "../harness/inventory.js";
import { walk } from "../harness/walk.js";

walk("the officer brings in an inventory of 200 rows", [WAYS.deskLight, WAYS.phoneDarkPlain], "demo", async (scene) => {
  const officer = await scene.person("officer");
  await isToldWhatIsWrong(officer);
  await answersWhatIsAsked(officer);
  await findsThemInTheRegister(officer);
});

walk("a file that is no list is refused, and nothing is stored", [WAYS.deskDark], "demo", async (scene) => {
  const officer = await scene.person("officer");
  await officer.open("/import");
  await officer.press("See what would come of it", { status: 422 });
  await officer.attach("File", "list.xlsx", Buffer.from("PK\u0003\u0004 but no workbook"));
  await officer.press("See what would come of it", { status: 422 });
  await officer.reads(/Nothing was saved/);
});

async function isToldWhatIsWrong(officer) {
  await officer.section("Items");
  await officer.follow("Bring in a list");
  await bringIn(officer, (rows) => {
    rows[55][11] = "sixty";
  });
  await officer.answer(/error|wrong/i);
  await officer.reads(/row 57.*Length|57/);
  await officer.picture(`import wrong, ${officer.way.name}`);
  await officer.press("Give up this list");
  await officer.reads("nothing of it was stored");
}

async function answersWhatIsAsked(officer) {
  // What was answered for the list before, which had the same headings, need not be said again.
  await officer.attach("File", "loft list 2026.csv", inventory());
  await officer.press("See what would come of it");
  await officer.reads(/taken from your last answers/i);
  // What was said for other items is confirmed for these with one press.
  await officer.reads(/For other items you said "in the maker's instructions or certificate"/);
  await officer.press("Check again");
  await officer.picture(`import, ${officer.way.name}`);
  await officer.press("Take in 200 items");
}

async function findsThemInTheRegister(officer) {
  await officer.open("/items");
  await officer.write("Search", "P1000");
  await officer.press("Search");
  assert.deepEqual(await officer.rows("Items"), ["P1000"]);
  await officer.follow("P1000");
  await officer.reads("Fennimark Longline 11");
  await officer.reads("Gerätehaus, Regal 2");
  await officer.reads("2019-01-01");
  await officer.reads("32.5 kN");
  await officer.reads("60.5 m");
  await officer.reads("Peg colour: red");
}
