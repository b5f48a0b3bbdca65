import { createServer, type Server } from 'node:http'
import { LastmetreError } from '../quantity/errors.ts'

export const TRUST_PORT = 5180
const HEADERS = {
  'content-security-policy': "default-src 'none'; style-src 'self'; frame-ancestors 'none'",
  'x-content-type-options': 'nosniff',
  'referrer-policy': 'no-referrer',
  'cache-control': 'no-store',
}
const MAX_CONNECTIONS = 100
const REQUEST_MS = 10_000

export interface TrustPage {
  port: number
  close(): Promise<void>
}

/**
 * A page on plain http, for tablets that do not trust the authority yet: it gives out the authority's certificate and how to
 * install it, and nothing else. What is on it is no secret; whether it is the right one shows by the fingerprint on paper.
 */
export async function serveTrustPage(
  where: { host: string; port: number },
  authority: { certificate: string; fingerprint: string },
  screens: string,
): Promise<TrustPage> {
  const page = trustPageHtml(authority.fingerprint, screens)
  const server = createServer((request, answer) => {
    const path = request.url?.split('?')[0]
    if (request.method !== 'GET' && request.method !== 'HEAD') answer.writeHead(405, HEADERS).end()
    else if (path === '/authority.crt') {
      const type = { 'content-type': 'application/x-x509-ca-cert' }
      answer.writeHead(200, { ...HEADERS, ...type }).end(authority.certificate)
    } else if (path === '/') {
      answer.writeHead(200, { ...HEADERS, 'content-type': 'text/html; charset=utf-8' }).end(page)
    } else answer.writeHead(404, HEADERS).end()
  })
  server.maxConnections = MAX_CONNECTIONS
  server.requestTimeout = REQUEST_MS
  server.headersTimeout = REQUEST_MS
  await listening(server, where)
  const address = server.address()
  return {
    port: typeof address === 'object' && address !== null ? address.port : where.port,
    close: () =>
      new Promise((resolve) => {
        server.close(() => resolve())
        server.closeAllConnections()
      }),
  }
}

function listening(server: Server, { host, port }: { host: string; port: number }): Promise<void> {
  return new Promise((resolve, reject) => {
    server.once('error', (error: NodeJS.ErrnoException) =>
      reject(
        error.code === 'EADDRINUSE'
          ? new LastmetreError('port-taken', `The port ${port} of the page for tablets is taken.`)
          : error,
      ),
    )
    server.listen(port, host, resolve)
  })
}

function trustPageHtml(fingerprint: string, screens: string): string {
  return `<!doctype html>
<html lang="en-GB"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<title>Trust this hall · Lastmetre</title></head><body>
<h1>Make this device trust the hall’s server</h1>
<p><a href="/authority.crt" download="lastmetre-authority.crt"><strong>1. Download the certificate of the hall’s authority</strong></a></p>
<p>2. Compare its fingerprint (SHA-256) with the one on the printed sheet. If they differ, stop and tell the owner:</p>
<p><code>${fingerprint}</code></p>
<p>3. Install it:</p>
<ul>
<li><strong>Android</strong>: Settings, search “CA certificate”, Install anyway, choose the downloaded file.</li>
<li><strong>iPad, iPhone</strong>: open with Safari; Settings, Profile Downloaded, Install; then Settings, General, About, Certificate Trust Settings, switch it on.</li>
<li><strong>Windows</strong>: open the file, Install Certificate, Local Machine, place it in “Trusted Root Certification Authorities”.</li>
<li><strong>Linux, Chromium</strong>: Settings, Privacy and security, Security, Manage certificates, Authorities, Import.</li>
<li><strong>Firefox</strong>: Settings, Privacy and Security, View Certificates, Authorities, Import.</li>
</ul>
<p>4. Then open <a href="${screens}">${screens}</a></p>
<p>The authority can vouch for the names of this hall and for addresses in private networks only.</p>
</body></html>
`
}
