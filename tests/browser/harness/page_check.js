// What must hold on every page, whoever looks at it and how.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22a", "wcag22aa"];

/** Fails with a readable list if the page breaks WCAG 2.2 A or AA, is wider than the screen or has no single title. */
export async function checkPage(page) {
  const where = new URL(page.url()).pathname;
  const shape = await page.evaluate(() => ({
    title: document.title,
    headings: document.querySelectorAll("h1").length,
    wide: document.documentElement.scrollWidth - document.documentElement.clientWidth,
    widest: [...document.querySelectorAll("body *")]
      .filter((one) => one.getBoundingClientRect().right > document.documentElement.clientWidth + 1)
      .slice(0, 3)
      .map((one) => one.outerHTML.slice(0, 160)),
  }));
  assert.match(shape.title, /\S/, `${where} has no title`);
  assert.equal(shape.headings, 1, `${where} has ${shape.headings} first headings`);
  assert.ok(shape.wide <= 0, `${where} is ${shape.wide} px wider than the screen:\n${shape.widest.join("\n")}`);
  assert.deepEqual(await violations(page), [], `${where} is hard to use for some`);
}

async function violations(page) {
  // Not a script tag: the page's own policy would forbid it, and rightly.
  await page.evaluate(`if (!globalThis.axe) { ${axe} }`);
  const found = await page.evaluate(
    async (tags) => (await globalThis.axe.run(document, { runOnly: { type: "tag", values: tags } })).violations,
    TAGS,
  );
  return found.map(
    ({ id, help, nodes }) => `${id}: ${help}: ${nodes.slice(0, 3).map((node) => `${node.html} (${node.any.map((check) => check.message).join("; ")})`).join(" | ")}`,
  );
}
