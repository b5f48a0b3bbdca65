/**
 * Keeps the built shell of the screens, so that a tablet can load its page again while the server is away. Nothing of
 * the server's answers is kept here: what a station needs of them it keeps itself (outbox/station-store.ts).
 */

/** What of a worker's surroundings is used; the page's own types know nothing of them. */
interface Worker {
  skipWaiting(): Promise<void>
  clients: { claim(): Promise<void> }
  addEventListener(type: 'install' | 'activate', listener: (event: Lasting) => void): void
  addEventListener(type: 'fetch', listener: (event: Asked) => void): void
}

interface Lasting {
  waitUntil(work: Promise<unknown>): void
}

interface Asked extends Lasting {
  request: Request
  respondWith(answer: Promise<Response>): void
}

/** Paths of the built shell and a hash over them; put in when the screens are built (vite.config.ts). */
declare const SHELL: { version: string; paths: string[] }

const worker = globalThis as unknown as Worker
const NAME = `lastmetre-shell-${SHELL.version}`
/** A place is asked for from the server first; then from here. A network that swallows all would hold the page. */
const NO_ANSWER_MS = 4000

worker.addEventListener('install', (event) => {
  event.waitUntil(
    caches
      .open(NAME)
      .then((kept) => kept.addAll(SHELL.paths.map((path) => new Request(path, { cache: 'reload' }))))
      .then(() => worker.skipWaiting()),
  )
})

worker.addEventListener('activate', (event) => {
  event.waitUntil(
    caches
      .keys()
      .then((names) =>
        Promise.all(
          names
            .filter((name) => name.startsWith('lastmetre-') && name !== NAME)
            .map((name) => caches.delete(name)),
        ),
      )
      .then(() => worker.clients.claim()),
  )
})

worker.addEventListener('fetch', (event) => {
  const { request } = event
  const { pathname, origin } = new URL(request.url)
  if (request.method !== 'GET' || origin !== location.origin || pathname.startsWith('/api/')) return
  if (request.mode === 'navigate') event.respondWith(page(request))
  else if (SHELL.paths.includes(pathname) && pathname !== '/index.html') event.respondWith(part(request))
})

async function page(request: Request): Promise<Response> {
  try {
    return await fetch(request, { signal: AbortSignal.timeout(NO_ANSWER_MS) })
  } catch (error) {
    const kept = await (await caches.open(NAME)).match('/index.html')
    if (kept) return kept
    throw error
  }
}

/** Parts carry a hash of their content in their names: what is kept is what is asked for. */
async function part(request: Request): Promise<Response> {
  return (await (await caches.open(NAME)).match(request)) ?? fetch(request)
}
