// The camera as a scanner: a faked one shows a label that the program made. What a code says is told by a stand-in where this
// browser reads none, and only while the video really shows one.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { opened } from "../harness/bench.js";
import { openBrowser, WAYS } from "../harness/browser.js";
import { Visitor } from "../harness/visitor.js";
import { walk } from "../harness/walk.js";

const [WIDTH, HEIGHT] = [640, 480];
const INSTEAD = "This browser does not read codes with its camera: type what stands on the label, or use a reader that types.";

/** The mark of the first item of the bench's list. */
async function first(officer) {
  await officer.open("/bench?kind=connector");
  const [mark] = await officer.rows("Items of the list");
  return mark;
}

/** The code that is on the item with this mark. */
async function codeOf(officer, mark) {
  const { item } = await officer.json(`/api/v1/scan?code=${encodeURIComponent(mark)}`);
  const { tags } = await officer.json(`/api/v1/items/${item.id}/tags`);
  return tags.at(-1).text;
}

/** What a browser is started with so that its camera sees a video. */
const withCamera = (video) => [
  "--use-fake-ui-for-media-stream", "--use-fake-device-for-media-stream", `--use-file-for-fake-video-capture=${video}`,
];

/** A label of the item with this mark: as a picture, and as a video of a camera that looks at it, two frames, grey on white. */
async function label(officer, origin, mark) {
  const form = { marks: mark, code: "qr", holds: "code", paper: "roll", width: "60", height: "40" };
  const answer = await officer.page.request.post(`${origin}/labels`, { form, headers: { origin } });
  assert.equal(answer.status(), 200, await answer.text());
  const folder = mkdtempSync(join(tmpdir(), "ropeloft-camera-"));
  writeFileSync(join(folder, "label.pdf"), await answer.body());
  execFileSync("pdftoppm", ["-gray", "-r", "150", "-singlefile", "label.pdf", "label"], { cwd: folder });
  execFileSync("pdftoppm", ["-png", "-r", "150", "-singlefile", "label.pdf", "label"], { cwd: folder });
  const { wide, high, grey } = greyMap(readFileSync(join(folder, "label.pgm")));
  assert.ok(wide <= WIDTH && high <= HEIGHT, `${wide} x ${high}`);
  const light = Buffer.alloc(WIDTH * HEIGHT, 235);
  for (let y = 0; y < high; y += 1) {
    // A label on something dark would be no easier: it lies on white.
    for (let x = 0; x < wide; x += 1) light[(y + 40) * WIDTH + x + 40] = 16 + (grey[y * wide + x] * 219) / 255;
  }
  const frame = Buffer.concat([Buffer.from("FRAME\n"), light, Buffer.alloc((WIDTH * HEIGHT) / 2, 128)]);
  const file = join(folder, "label.y4m");
  writeFileSync(file, Buffer.concat([Buffer.from(`YUV4MPEG2 W${WIDTH} H${HEIGHT} F10:1 Ip A1:1 C420\n`), frame, frame]));
  return { video: file, picture: join(folder, "label.png") };
}

/** Reads a portable grey map: its kind, width, height and white, then the dots. */
function greyMap(bytes) {
  const [head, , wide, high] = bytes.toString("latin1", 0, 60).match(/^(P5)\s+(\d+)\s+(\d+)\s+255\s/);
  return { wide: Number(wide), high: Number(high), grey: bytes.subarray(head.length) };
}

/** Puts a stand-in for the browser's own reader into every page: it tells the code while a tenth of the picture is dark. */
const standIn = (code) => `globalThis.BarcodeDetector = class {
  static async getSupportedFormats() { return ["qr_code"]; }
  async detect(view) {
    const canvas = document.createElement("canvas");
    [canvas.width, canvas.height] = [view.videoWidth, view.videoHeight];
    if (!canvas.width || globalThis.blind) return [];
    const brush = canvas.getContext("2d");
    brush.drawImage(view, 0, 0);
    const { data } = brush.getImageData(0, 0, canvas.width, canvas.height);
    let dark = 0;
    for (let at = 0; at < data.length; at += 4) dark += data[at] < 90 ? 1 : 0;
    globalThis.darkShare = dark / (data.length / 4);
    return dark > data.length / 4 / 50 ? [{ rawValue: ${JSON.stringify(code)} }] : [];
  }
}`;

walk("a browser that cannot use a camera is told of, and what to do instead", [WAYS.phoneLight, WAYS.deskDarkPlain], "demo", async (scene) => {
  const officer = await scene.person("officer");
  const none = "Object.defineProperty(Navigator.prototype, 'mediaDevices', { get: () => undefined })";
  if (scene.way.javaScript) await officer.page.addInitScript(none);
  for (const path of ["/bench", "/scan"]) {
    await officer.open(path);
    await officer.reads(INSTEAD);
    assert.equal(await officer.page.getByRole("button", { name: "Use the camera" }).count(), 0);
  }
  // A photo of the code leads on without any of it.
  const mark = await first(officer);
  const { picture } = await label(officer, scene.server.origin, mark);
  await officer.open("/scan");
  await officer.page.getByText("Read the code from a photo").click();
  await officer.page.getByLabel("Photo of the code").setInputFiles(picture);
  await officer.page.getByRole("button", { name: "Read it" }).click();
  await officer.page.waitForURL(/\/items\//);
  await officer.reads(mark);
});

walk("where the browser reads no codes the server does", [WAYS.phoneLight], "demo", async (scene) => {
  const officer = await scene.person("officer");
  const mark = await first(officer);
  const { video } = await label(officer, scene.server.origin, mark);
  const browser = await openBrowser(withCamera(video));
  try {
    const seer = await Visitor.arrive(browser, scene.server, scene.way);
    // Some browsers have the means and read no kind of code.
    await seer.page.addInitScript("globalThis.BarcodeDetector = class { static async getSupportedFormats() { return []; } }");
    await seer.signIn(scene.people.officer);
    await seer.open("/bench");
    await seer.page.getByRole("button", { name: "Use the camera" }).click();
    await opened(seer, mark);
    await seer.line(false);
    await seer.page.getByRole("button", { name: "Use the camera" }).click();
    await seer.page.getByText("what it sees is read by the server here, and there is no line").waitFor();
    await seer.line(true);
    await seer.leave();
  } finally {
    await browser.close();
  }
});

walk("the camera opens the item whose label it sees", [WAYS.phoneLight], "demo", async (scene) => {
  const officer = await scene.person("officer");
  const mark = await first(officer);
  const { video } = await label(officer, scene.server.origin, mark);
  const code = await codeOf(officer, mark);
  const browser = await openBrowser(withCamera(video));
  try {
    const seer = await Visitor.arrive(browser, scene.server, scene.way);
    await seer.page.addInitScript(standIn(code));
    await seer.signIn(scene.people.officer);
    await seer.open("/bench");
    await seer.readsNot(INSTEAD);
    // A second press stops it.
    const isOff = () => seer.page.locator("[data-viewfinder]").evaluate((view) => view.hidden && view.srcObject === null);
    await seer.page.evaluate(() => (globalThis.blind = true));
    await seer.page.getByRole("button", { name: "Use the camera" }).click();
    await seer.page.getByRole("button", { name: "Stop the camera" }).click();
    assert.equal(await isOff(), true);
    await seer.page.evaluate(() => (globalThis.blind = false));
    await seer.page.getByRole("button", { name: "Use the camera" }).click();
    await opened(seer, mark);
    assert.ok((await seer.page.evaluate(() => globalThis.darkShare)) < 0.5, "the video shows a label");
    assert.equal(await isOff(), true);
    await seer.looks();
    // On the page for one code it leads on too.
    await seer.open("/scan");
    await seer.page.getByRole("button", { name: "Use the camera" }).click();
    await seer.page.waitForURL(/code=|\/items\//);
    await seer.reads(mark);
    await seer.leave();
  } finally {
    await browser.close();
  }
});

walk("a camera that is not given is told of", [WAYS.deskLight], "demo", async (scene) => {
  const officer = await scene.person("officer");
  await officer.page.addInitScript(standIn("nothing"));
  await officer.open("/bench");
  await officer.page.getByRole("button", { name: "Use the camera" }).click();
  await officer.page.getByText(/^The camera cannot be used: .* Type the code, or use a reader that types\.$/).waitFor();
  await officer.looks();
});
