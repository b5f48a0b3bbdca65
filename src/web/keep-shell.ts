/**
 * Has the browser keep the shell of the screens, so that a page can be loaded again while the server is away. It cannot
 * without TLS, except on the machine itself; and not while the screens are being worked on.
 */
export function keepShell(): void {
  // not there without TLS, whatever the types say
  const workers = navigator.serviceWorker as ServiceWorkerContainer | undefined
  const built = document.querySelector('script[src^="/assets/"]') !== null
  if (!workers || !built) return
  workers.register('/service-worker.js').catch(() => undefined)
}
