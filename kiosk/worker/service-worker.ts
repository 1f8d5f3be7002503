/**
 * Gives out the built kiosk without a network. It keeps the program's own files and nothing else: what the server says of a plant never passes
 * through it. A new program waits until a page says that it may take over (`data/program.ts`).
 */

interface Lifetime extends Event { waitUntil(done: Promise<unknown>): void }
interface Asked extends Lifetime { request: Request; respondWith(answer: Promise<Response>): void }
interface Worker extends EventTarget {
  skipWaiting(): Promise<void>;
  clients: { claim(): Promise<void> };
  addEventListener(kind: 'install' | 'activate', listener: (event: Lifetime) => void): void;
  addEventListener(kind: 'fetch', listener: (event: Asked) => void): void;
  addEventListener(kind: 'message', listener: (event: MessageEvent) => void): void;
}

const worker = self as unknown as Worker;
/** Written in by the build: every file with the hash of its content, and the hash of all of them. */
const { program, files } = JSON.parse('%PROGRAM%') as { program: string; files: [path: string, hash: string][] };
const PREFIX = 'stationhand-program-';
const CACHE = PREFIX + program;
const PAGE = '/index.html';
/** `/`, `/PLANT` and `/PLANT/SCREEN…` are addresses inside the one page, as the server has it. */
const IS_PAGE = /^\/(?!api(?:\/|$)|socket\.io|assets\/)(?:[^/.]+(?:\/[^/]*)*)?$/;

worker.addEventListener('install', (event) => event.waitUntil(takeIn()));

worker.addEventListener('activate', (event) => event.waitUntil(dropOld().then(() => worker.clients.claim())));

worker.addEventListener('message', (event) => {
  if (event.data === 'takeOver') void worker.skipWaiting();
});

worker.addEventListener('fetch', (event) => {
  const { request } = event;
  const { origin, pathname } = new URL(request.url);
  if (request.method !== 'GET' || origin !== location.origin) return;
  if (request.mode === 'navigate' && (IS_PAGE.test(pathname) || pathname === PAGE)) return event.respondWith(kept(PAGE, request));
  if (files.some(([path]) => path === pathname) || pathname.startsWith('/assets/')) event.respondWith(kept(pathname, request));
});

/** All files or none: what an earlier program has with the same content is taken from there. */
async function takeIn(): Promise<void> {
  const cache = await caches.open(CACHE);
  await Promise.all(files.map(async ([path, hash]) => {
    const address = `${path}?${hash}`;
    const same = await caches.match(address);
    const answer = same ?? await fetch(path, { cache: 'reload' });
    if (!answer.ok) throw new Error(`${path}: ${answer.status}`);
    await cache.put(address, answer);
  }));
}

/** This program's files and those of the one before stay: a page that is still open may ask for a part of the old one. */
async function dropOld(): Promise<void> {
  const programs = (await caches.keys()).filter((name) => name.startsWith(PREFIX) && name !== CACHE);
  await Promise.all(programs.slice(0, -1).map((name) => caches.delete(name)));
}

async function kept(path: string, request: Request): Promise<Response> {
  const cache = await caches.open(CACHE);
  const own = await cache.match(path, { ignoreSearch: true });
  if (own) return own;
  const earlier = path.startsWith('/assets/') ? await caches.match(path, { ignoreSearch: true }) : undefined;
  return earlier ?? fetch(request);
}
