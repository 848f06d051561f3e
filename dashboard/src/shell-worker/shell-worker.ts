/**
 * Keeps the page's own files, so that it opens and says “not connected” while the server does not answer. It keeps no answer of
 * the server beside them: what was measured is never shown from here. Browsers allow it at the computer itself alone, as
 * they ask for encryption everywhere else.
 */
interface WorkerEvent extends Event {
  waitUntil(done: Promise<unknown>): void;
}
interface FetchEvent extends WorkerEvent {
  readonly request: Request;
  respondWith(answer: Promise<Response>): void;
}
interface Worker {
  addEventListener(name: "install" | "activate", hear: (event: WorkerEvent) => void): void;
  addEventListener(name: "fetch", hear: (event: FetchEvent) => void): void;
  skipWaiting(): Promise<void>;
  readonly clients: { claim(): Promise<void> };
}

const worker = globalThis as unknown as Worker;
const cacheName = "pinwalk-shell";
const page = "/";

worker.addEventListener("install", (event) => event.waitUntil(keepShell().then(() => worker.skipWaiting())));
worker.addEventListener("activate", (event) => event.waitUntil(worker.clients.claim()));

worker.addEventListener("fetch", (event) => {
  const { request } = event;
  const { origin, pathname } = new URL(request.url);
  if (request.method !== "GET" || origin !== location.origin) return;
  if (pathname.startsWith("/assets/")) event.respondWith(keptFirst(request));
  else if (request.mode === "navigate" && /^\/(bay\/\d\/)?$/.test(pathname)) event.respondWith(freshFirst(event));
});

/** Page and assets of one build; those of the build before are dropped. */
async function keepShell(): Promise<void> {
  const listed = (await (await fetch("/shell-files.json", { cache: "no-store" })).json()) as string[];
  const wanted = listed.map((name) => `/${name}`);
  const cache = await caches.open(cacheName);
  for (const request of await cache.keys())
    if (!wanted.includes(new URL(request.url).pathname)) await cache.delete(request);
  const kept = new Set((await cache.keys()).map((request) => new URL(request.url).pathname));
  await cache.addAll([page, "/mark.svg", ...wanted.filter((name) => !kept.has(name))]);
}

/** The names of assets carry a hash of what is in them, so a kept one is the right one. */
async function keptFirst(request: Request): Promise<Response> {
  return (await caches.match(request, { cacheName })) ?? fetch(request);
}

/** The server's page while it answers; then a newer build is noticed, and its files are kept. */
async function freshFirst(event: FetchEvent): Promise<Response> {
  try {
    const answer = await fetch(event.request);
    if (answer.ok) event.waitUntil(keepShell().catch(() => undefined));
    return answer;
  } catch {
    return (await caches.match(page, { cacheName })) ?? Response.error();
  }
}
