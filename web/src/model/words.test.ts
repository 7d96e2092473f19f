import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { afterEach, expect, test } from "vitest";
import en from "../locales/en.json";
import { direction, number, speak, t, tOr } from "./words";

afterEach(() => speak("en", en as never));

test("plural forms and values", () => {
  expect(t("jobs.count", { n: 1 })).toBe("1 job");
  expect(t("jobs.count", { n: 7 })).toBe("7 jobs");
  expect(tOr("no.such.key", "as it came")).toBe("as it came");
});

test("another language takes over, runs its own way, and falls back to English", () => {
  speak("ar", { "@direction": "rtl", "jobs.count": { two: "وظيفتان", other: "{n}" } });
  expect(direction()).toBe("rtl");
  expect(t("jobs.count", { n: 2 })).toBe("وظيفتان");
  expect(t("jobs.title")).toBe("Jobs");
  speak("de", {});
  expect(number(1234.5, 1)).toBe("1234,5");
});

// Every text is used somewhere, and every key named in the sources has its text.
test("the catalogue and the sources agree", () => {
  const root = new URL("..", import.meta.url).pathname;
  const sources = readdirSync(root, { recursive: true, encoding: "utf8" })
    .filter((name) => /\.(ts|svelte)$/.test(name) && !name.endsWith(".test.ts"))
    .map((name) => readFileSync(join(root, name), "utf8"))
    .join("\n");
  const named = new Set([...sources.matchAll(/["'`]([a-z0-9_]+(?:\.[a-zA-Z0-9_-]+)+)["'`]/g)].map((m) => m[1]!));
  const families = [...sources.matchAll(/[`"']([a-z0-9_]+(?:\.[a-zA-Z0-9_]+)*\.)(?:\$\{|["'`] *\+)/g)].map((m) => m[1]!);
  const keys = Object.keys(en).filter((key) => !key.startsWith("@"));
  const idle = keys.filter(
    (key) => !named.has(key) && !families.some((family) => key.startsWith(family)),
  );
  expect(idle).toEqual([]);
});
