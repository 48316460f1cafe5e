// A story that is told once for each way of looking, each time with a server of its own.
import { after, before, test } from "node:test";
import { openBrowser } from "./browser.js";
import { openServer } from "./server.js";
import { Visitor } from "./visitor.js";

let browser;
before(async () => {
  browser = await openBrowser();
});
after(async () => {
  await browser?.close();
});

/** What a story is given: its server, and visitors who come to it in the story's way. */
class Scene {
  #visitors = [];

  constructor(server, way) {
    this.server = server;
    this.way = way;
    /** The sign-ins that the demo has printed, by the name one signs in with. */
    this.people = Object.fromEntries(
      [...server.printed().matchAll(/^ {2}(\S+) +(\S+) {2,}\S/gm)].map(([, name, password]) => [name, { name, password }]),
    );
  }

  /** Somebody who has not signed in. */
  async stranger() {
    const visitor = await Visitor.arrive(browser, this.server, this.way);
    this.#visitors.push(visitor);
    return visitor;
  }

  /** One of the demo's people, signed in. */
  async person(name) {
    const visitor = await this.stranger();
    await visitor.signIn(this.people[name]);
    return visitor;
  }

  async end(failed) {
    for (const [at, visitor] of this.#visitors.entries()) {
      if (failed) await visitor.picture(`failed ${at + 1}, ${this.way.name}`).catch(() => {});
      await visitor.leave(failed);
    }
  }
}

/** Tells `story` in each of the ways, on a server that was started with `order`. */
export function walk(title, ways, order, story, settings) {
  for (const way of ways) {
    test(`${title} (${way.name})`, async () => {
      const server = await openServer(order, settings);
      const scene = new Scene(server, way);
      let failed = true;
      try {
        await story(scene);
        failed = false;
      } finally {
        await scene.end(failed);
        await server.stop();
      }
    });
  }
}
