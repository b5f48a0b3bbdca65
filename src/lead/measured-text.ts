import { LastmetreError } from '../quantity/errors.ts'

/** Largest file, as in the works folder, and the most points of a sweep: twice what analysers deliver. */
const MAX_BYTES = 20_000_000
export const MAX_POINTS = 200_001

/** Beyond this a number is a mistake: frequencies are bounded by it in Hz, parameters by themselves. */
const LARGEST = 1e13

/** Names the file, the line and what is wrong there. Lines count from 1; null where it concerns the whole file. */
export function refuse(file: string, line: number | null, wrong: string): never {
  const place = line === null ? file : `${file} line ${line}`
  throw new LastmetreError('measurement-refused', `${place}: ${wrong}`)
}

/** A file's own name without the path to it. */
export function bareName(path: string): string {
  return path.split(/[/\\]/).at(-1) ?? path
}

/** The text of a measured file in lines. Comments may be in any encoding that leaves ASCII alone; binary is refused. */
export function textLines(file: string, bytes: Uint8Array): string[] {
  if (bytes.length === 0) refuse(file, null, 'the file is empty.')
  if (bytes.length > MAX_BYTES) refuse(file, null, `more than ${MAX_BYTES / 1e6} MB.`)
  if ((bytes[0] === 0xff && bytes[1] === 0xfe) || (bytes[0] === 0xfe && bytes[1] === 0xff))
    refuse(file, 1, 'it is UTF-16; save it as plain text (ASCII or UTF-8).')
  let line = 1
  for (let i = 0; i < bytes.length; i++) {
    const byte = bytes[i]!
    if (byte === 10) line++
    // tab, line feed, carriage return and the form feed of old printers; 26 is the end mark of old systems
    if (byte < 32 && byte !== 9 && byte !== 10 && byte !== 13 && byte !== 12 && byte !== 26)
      refuse(file, line, `a control character (${byte}); this is not a text file.`)
  }
  const text = new TextDecoder('utf-8').decode(bytes).replaceAll('\u001a', '')
  return text.split(/\r\n|\n|\r/)
}

/** One number: digits with a decimal dot and an exponent where there is one; nothing else. */
export function numberAt(file: string, line: number, token: string): number {
  const value = Number(token)
  if (Number.isFinite(value) && Math.abs(value) < LARGEST && plain(token)) return value
  if (/^[+-]?(nan|inf)/i.test(token)) refuse(file, line, `${shown(token)} is no number.`)
  if (/^[+-]?\d+,\d+/.test(token)) refuse(file, line, `${shown(token)} has a comma; write a decimal dot.`)
  if (Number.isFinite(value) && plain(token)) refuse(file, line, `${shown(token)} is too large.`)
  return refuse(file, line, `${shown(token)} is not a number.`)
}

/** Number() also takes 0x1F, 0b1 and the empty word; a second letter x, b or o gives them away. */
function plain(token: string): boolean {
  const second = token.charCodeAt(1) | 32
  const third = token.charCodeAt(2) | 32
  const odd = (code: number) => code === 120 || code === 98 || code === 111
  return token !== '' && !odd(second) && !odd(third)
}

/** A piece of a file for a message: never long. */
export function shown(token: string): string {
  return `"${token.length > 40 ? `${token.slice(0, 40)}…` : token}"`
}
