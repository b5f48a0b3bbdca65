import type { InjectOptions } from 'fastify'
import { onTestFinished } from 'vitest'
import { type App, buildApp } from '../../src/server/app.ts'
import { readWorksFolder } from '../../src/server/read-works-folder.ts'
import { openStore } from '../../src/store/open-store.ts'
import { DEMO } from '../support/demo.ts'
import { emptyFolder } from '../support/empty-folder.ts'

/** The server without a socket, with the demo open unless told otherwise. */
export async function demoApp({ open = true } = {}): Promise<App> {
  const store = await openStore(await emptyFolder())
  const app = await buildApp(store.db)
  onTestFinished(async () => {
    await app.http.close()
    await store.close()
  })
  if (open) await app.works.open(await readWorksFolder(DEMO))
  return app
}

/** Status and body of one request. */
export async function ask(app: App, request: InjectOptions): Promise<{ status: number; body: unknown }> {
  const answer = await app.http.inject(request)
  return { status: answer.statusCode, body: answer.json() }
}

/** A form as a browser sends it, for inject(). */
export function multipart(
  fields: Record<string, string>,
  files: { name: string; bytes: Uint8Array }[],
): { payload: Buffer; headers: Record<string, string> } {
  const boundary = 'a-line-that-no-file-holds'
  const part = (head: string, bytes: Uint8Array) =>
    Buffer.concat([
      Buffer.from(`--${boundary}\r\nContent-Disposition: form-data; ${head}\r\n\r\n`),
      bytes,
      CRLF,
    ])
  const payload = Buffer.concat([
    ...Object.entries(fields).map(([name, value]) => part(`name="${name}"`, Buffer.from(value))),
    ...files.map(({ name, bytes }) => part(`name="file"; filename="${name}"`, bytes)),
    Buffer.from(`--${boundary}--\r\n`),
  ])
  return { payload, headers: { 'content-type': `multipart/form-data; boundary=${boundary}` } }
}

const CRLF = Buffer.from('\r\n')
