/// <reference lib="webworker" />
// Keeps what was opened, so that it can be looked at without the network. Files with a hash in
// their name are kept as they are; answers of the service come from the network and only when it
// is gone from what was kept, marked so.
const worker = self as unknown as ServiceWorkerGlobalScope;
const build = "BUILD_OF_THE_PAGE"; // filled in when the page is built
const shell = `bight-shell-${build}`;
const answers = "bight-answers-1";
const mostAnswers = 600;

async function keepPage(): Promise<void> {
  const kept = await caches.open(shell);
  const list = (await (await fetch("./assets.json")).json()) as { assets: string[] };
  await kept.addAll(["./", "./manifest.webmanifest", "./icon.svg", ...list.assets]);
  await worker.skipWaiting();
}

worker.addEventListener("install", (event) => event.waitUntil(keepPage()));

worker.addEventListener("activate", (event) => {
  event.waitUntil(
    caches
      .keys()
      .then((names) =>
        Promise.all(names.filter((n) => n !== shell && n !== answers).map((n) => caches.delete(n))),
      )
      .then(() => worker.clients.claim()),
  );
});

async function fromShell(request: Request): Promise<Response> {
  const kept = await caches.match(request, { cacheName: shell });
  if (kept) return kept;
  const answer = await fetch(request);
  if (answer.ok) await (await caches.open(shell)).put(request, answer.clone());
  return answer;
}

async function pageItself(request: Request): Promise<Response> {
  try {
    const answer = await fetch(request);
    if (answer.ok) await (await caches.open(shell)).put("./", answer.clone());
    return answer;
  } catch {
    return (await caches.match("./", { cacheName: shell })) ?? Response.error();
  }
}

// The worker is not put to sleep before this has ended.
async function keepAnswer(request: Request, answer: Response): Promise<void> {
  const kept = await caches.open(answers);
  await kept.put(request, answer);
  const all = await kept.keys();
  for (const old of all.slice(0, Math.max(0, all.length - mostAnswers))) await kept.delete(old);
}

async function marked(answer: Response): Promise<Response> {
  const headers = new Headers(answer.headers);
  headers.set("X-Bight-Kept", "1");
  return new Response(await answer.blob(), { status: answer.status, headers });
}

async function fromService(event: FetchEvent): Promise<Response> {
  const { request } = event;
  try {
    const answer = await fetch(request);
    if (answer.ok) event.waitUntil(keepAnswer(request, answer.clone()));
    return answer;
  } catch {
    const kept = await caches.match(request, { cacheName: answers });
    return kept ? marked(kept) : Response.error();
  }
}

// Questions that change nothing although they are posted are kept under their text's hash.
async function asked(event: FetchEvent): Promise<Response> {
  const { request } = event;
  const text = await request.clone().text();
  const bytes = await crypto.subtle.digest("SHA-256", new TextEncoder().encode(text));
  const hash = [...new Uint8Array(bytes)].map((b) => b.toString(16).padStart(2, "0")).join("");
  const key = new Request(`${request.url}#${hash}`.replace("#", request.url.includes("?") ? "&h=" : "?h="));
  try {
    const answer = await fetch(request);
    if (answer.ok) event.waitUntil(keepAnswer(key, answer.clone()));
    return answer;
  } catch {
    const kept = await caches.match(key, { cacheName: answers });
    return kept ? marked(kept) : Response.error();
  }
}

worker.addEventListener("fetch", (event) => {
  const { request } = event;
  const address = new URL(request.url);
  if (address.origin !== location.origin) return;
  const inApi = address.pathname.includes("/api/v1/");
  if (inApi && address.pathname.endsWith("/events")) return;
  if (inApi && address.pathname.includes("/session")) return;
  if (inApi && request.method === "GET") event.respondWith(fromService(event));
  else if (inApi && request.method === "POST") {
    if (/\/(plan|springback|part\/check|sheet|checklist|keypad|trouble)$/.test(address.pathname)) {
      event.respondWith(asked(event));
    }
  } else if (request.mode === "navigate") event.respondWith(pageItself(request));
  else if (request.method === "GET") event.respondWith(fromShell(request));
});
