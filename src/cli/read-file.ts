import { readFile, stat } from 'node:fs/promises'
import { type ErrorCode, LastmetreError } from '../quantity/errors.ts'
import { MAX_FILE_BYTES } from '../works/works-files.ts'

/** A file that the caller names. */
export async function namedFile(path: string, code: ErrorCode = 'event-refused'): Promise<Uint8Array> {
  const info = await stat(path).catch(() => null)
  if (!info?.isFile()) throw new LastmetreError(code, `There is no file ${path}.`)
  if (info.size > MAX_FILE_BYTES) throw new LastmetreError(code, `${path} has more than 20 MB.`)
  return readFile(path)
}
