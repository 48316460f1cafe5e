// Takes the README's pictures from those that the journeys have kept: npm run pictures.
import { copyFileSync, mkdirSync } from "node:fs";
import { join } from "node:path";

const TAKEN = {
  home: "home, desk, light",
  item: "item, desk, light",
  job: "job, desk, light, no JavaScript",
  refused: "refused, desk, light, no JavaScript",
  verdict: "verdict, desk, light, no JavaScript",
  import: "import, desk, light",
  history: "history, desk, light",
};

const pictures = join(import.meta.dirname, "../../pictures");
mkdirSync(pictures, { recursive: true });
for (const [name, kept] of Object.entries(TAKEN)) {
  copyFileSync(join(import.meta.dirname, "out", `${kept}.png`), join(pictures, `${name}.png`));
}
