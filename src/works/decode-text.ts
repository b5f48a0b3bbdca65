import { MAX_FILE_BYTES } from './works-files.ts'

/** Why a file's bytes are no text of the contract. */
export interface NotText {
  row: number | null
  wrong: string
  right: string
}

/** Bytes of one file as text: UTF-8, a byte-order mark is taken off; everything else is refused with its reason. */
export function decodeText(bytes: Uint8Array): string | NotText {
  if (bytes.length > MAX_FILE_BYTES)
    return { row: null, wrong: `the file has more than ${MAX_FILE_BYTES} bytes`, right: 'at most 20 MB' }
  const utf16 = { row: null, wrong: 'the file is in UTF-16', right: 'UTF-8' }
  if ((bytes[0] === 0xff && bytes[1] === 0xfe) || (bytes[0] === 0xfe && bytes[1] === 0xff)) return utf16
  if (bytes.length >= 8 && nulShare(bytes) > 0.2) return utf16
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes)
  } catch {
    const line = firstBadLine(bytes)
    return {
      row: line,
      wrong: `line ${line} of the file holds bytes that are not UTF-8`,
      right: 'the whole file in UTF-8 (a spreadsheet calls it “CSV UTF-8”)',
    }
  }
}

function nulShare(bytes: Uint8Array): number {
  const sample = bytes.subarray(0, 4096)
  let nuls = 0
  for (const byte of sample) if (byte === 0) nuls += 1
  return nuls / sample.length
}

/** A line feed is never part of a longer UTF-8 sequence, so that lines can be tried one by one. */
function firstBadLine(bytes: Uint8Array): number {
  const decoder = new TextDecoder('utf-8', { fatal: true })
  let line = 1
  for (let from = 0; from < bytes.length; line++) {
    const at = bytes.indexOf(0x0a, from)
    const to = at < 0 ? bytes.length : at
    try {
      decoder.decode(bytes.subarray(from, to))
    } catch {
      return line
    }
    from = to + 1
  }
  return line
}
