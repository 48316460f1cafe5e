// An inventory as a team might have kept it: headings, words and writing of its own, 200 rows, nothing known to the program.

const HEADINGS = [
  "Peg no.", "Peg colour", "Kind", "Manufacturer", "Model", "Serial no.", "Batch", "Manufactured", "In use since",
  "MBS (kN)", "Diameter (mm)", "Length (m)", "Location", "Last inspection", "Result", "PPE",
];
const ROWS = 200;
/** Kind as the team calls it, maker, model, breaking strength, diameter, length. */
const GEAR = [
  ["rope", "Fennimark", "Longline 11", "32,5", "11,0", "60,5"],
  ["crab", "Ostrander Forge", "Oval S", "24,0", "", ""],
  ["pulley", "Ostrander Forge", "Double 50", "36,0", "", ""],
  ["sling", "Fennimark", "Loop 120", "22,0", "", "1,2"],
  ["harness", "Wickelund", "Rescue 3", "", "", ""],
];
const PLACES = ["Gerätehaus, Regal 2", "Truck 7", "Training tower"];
const COLOURS = ["red", "green", "yellow, faded"];

/** Two digits. */
const two = (number) => String(number).padStart(2, "0");

function row(at) {
  const [kind, maker, model, strength, diameter, length] = GEAR[at % GEAR.length];
  const year = 2019 + (at % 6);
  // Day and month are both below 13: nobody can tell which comes first.
  const day = (years) => `${two(1 + (at % 9))}/${two(1 + ((at * 5) % 12))}/${year + years}`;
  return [
    `P${1000 + at}`, COLOURS[at % COLOURS.length], kind, maker, model, `SN/${7000 + at * 3}`, `B${year}-${1 + (at % 4)}`,
    day(0), day(1), strength, diameter, length, PLACES[at % PLACES.length], `${two(1 + (at % 9))}/${two(1 + (at % 10))}/2026`,
    "OK", "yes",
  ];
}

/** The file's bytes, in Windows-1252 with semicolons; `spoil` may change a row, counted from 0, before it is written. */
export function inventory(spoil = () => {}) {
  const rows = Array.from({ length: ROWS }, (_, at) => row(at));
  spoil(rows);
  const cell = (text) => (/[;"\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);
  const lines = [HEADINGS, ...rows].map((cells) => cells.map(cell).join(";"));
  return Buffer.from(`${lines.join("\r\n")}\r\n`, "latin1");
}

/** Sends the file in and says all that it leaves open, up to where it can be taken. */
export async function bringIn(officer, spoil) {
  await officer.attach("File", "loft list 2026.csv", inventory(spoil));
  await officer.press("See what would come of it");
  await officer.choose("A: Peg no.", "The team's mark on the item");
  await officer.choose("B: Peg colour", "Keep it in the note");
  await officer.choose(/day first or with the month first/, /day first/i);
  await officer.choose(/What does "crab" mean/, /^connector$/i);
  await officer.choose(/where the strengths were read/, /maker's instructions/i);
  await officer.press("Check again");
  // Who examined is asked once it is known that no column says it.
  await officer.choose(/who made the last examination/, /Keep these as notes/);
  await officer.press("Check again");
}
