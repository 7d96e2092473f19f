// The real program, serving a shop of its own on this machine.
import { spawn } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { openFront } from "./front.mjs";

const root = path.resolve(import.meta.dirname, "../..");
export const program = process.env.BIGHT ?? path.join(root, "build/release/src/app/bight");

export class Server {
  #child = null;
  #port = 0;
  #front = null;
  address = "";
  log = "";

  constructor() {
    this.folder = mkdtempSync(path.join(tmpdir(), "bight-story-"));
  }

  // The first start takes a free port; every later one the same, as pages expect.
  async start() {
    const port = String(this.#port);
    const data = path.join(this.folder, "data");
    const child = spawn(program, ["serve", "--demo", "--data", data, "--port", port], {
      stdio: ["ignore", "pipe", "pipe"],
      env: { ...process.env, BIGHT_STORE: "" },
    });
    this.#child = child;
    child.stderr.on("data", (bytes) => (this.log += bytes));
    this.address = await new Promise((done, failed) => {
      let said = "";
      const late = setTimeout(() => failed(new Error(`no server: ${said}${this.log}`)), 30_000);
      child.stdout.on("data", (bytes) => {
        said += bytes;
        const found = /http:\/\/[\d.:]+/.exec(said);
        if (!found) return;
        clearTimeout(late);
        done(found[0]);
      });
      child.once("exit", (code) => failed(new Error(`server ended with ${code}: ${said}${this.log}`)));
    });
    this.#port = Number(new URL(this.address).port);
    if (process.env.BIGHT_PAGE) {
      const program = this.address;
      this.#front ??= await openFront(process.env.BIGHT_PAGE, () => program);
      this.address = this.#front.address;
    }
    return this.address;
  }

  // SIGKILL is the power failing; SIGTERM an orderly end.
  async stop(signal = "SIGTERM") {
    const child = this.#child;
    this.#child = null;
    if (!child || child.exitCode !== null || child.signalCode !== null) return;
    const gone = new Promise((done) => child.once("exit", () => done(true)));
    child.kill(signal);
    const late = new Promise((done) => setTimeout(() => done(false), 20_000).unref());
    if (await Promise.race([gone, late])) return;
    child.kill("SIGKILL");
    await gone;
    throw new Error(`the server did not end after ${signal}`);
  }

  async api(method, where, body) {
    const answer = await fetch(`${this.address}/api/v1${where}`, {
      method,
      headers: body === undefined ? {} : { "Content-Type": "application/json" },
      ...(body === undefined ? {} : { body: JSON.stringify(body) }),
    });
    if (!answer.ok) throw new Error(`${method} ${where}: ${answer.status} ${await answer.text()}`);
    return answer.json();
  }

  async partId(words) {
    const found = await this.api("GET", `/parts?words=${encodeURIComponent(words)}`);
    if (found.parts.length === 0) throw new Error(`no part ${words}`);
    return found.parts[0].id;
  }

  async end() {
    await this.stop();
    this.#front?.close();
    rmSync(this.folder, { recursive: true, force: true });
  }
}
