// Starts the real program on a database of its own, and ends it.
import { spawn } from "node:child_process";
import { existsSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";

const crate = resolve(import.meta.dirname, "../../..");
const target = resolve(crate, process.env.CARGO_TARGET_DIR ?? "target");
const program = process.env.ROPELOFT_PROGRAM ?? join(target, "debug", "ropeloft");
const LONGEST_START_MS = 120_000;

/**
 * Runs `ropeloft ORDER` on a fresh SQLite file and a free port until `stop` is called.
 * Gives the address, what the program has printed, and the database's file.
 */
export async function openServer(order, settings = {}) {
  if (!existsSync(program)) {
    throw new Error(`There is no program at ${program}. Run "cargo test" or "cargo build" first.`);
  }
  const folder = mkdtempSync(join(tmpdir(), "ropeloft-browser-"));
  const database = join(folder, "ropeloft.db");
  const args = [order, "--database", database, "--listen", "127.0.0.1:0"];
  const child = spawn(program, args, {
    cwd: folder,
    env: { ...process.env, ROPELOFT_LOG: "warn", ...settings },
    stdio: ["ignore", "pipe", "pipe"],
  });
  let printed = "";
  const ended = new Promise((done) => child.on("exit", done));
  const origin = new Promise((found, failed) => {
    const tooLong = setTimeout(
      () => failed(new Error(`The server did not say its address in time:\n${printed}`)),
      LONGEST_START_MS,
    );
    const hear = (chunk) => {
      printed += chunk;
      const address = printed.match(/open at (http:\/\/[\d.:]+)/i);
      if (address) {
        clearTimeout(tooLong);
        found(address[1]);
      }
    };
    child.stdout.on("data", hear);
    child.stderr.on("data", hear);
    child.on("error", failed);
    child.on("exit", (code) => failed(new Error(`The server ended with ${code}:\n${printed}`)));
  });
  const server = {
    origin: "",
    database,
    printed: () => printed,
    async stop() {
      child.kill("SIGTERM");
      await ended;
      rmSync(folder, { recursive: true, force: true });
    },
  };
  try {
    server.origin = await origin;
  } catch (error) {
    await server.stop();
    throw error;
  }
  const health = await fetch(`${server.origin}/health`);
  if (!health.ok) {
    throw new Error(`The server is open but not well: ${health.status} ${await health.text()}`);
  }
  return server;
}
