/**
 * Width of a text in the shipped typeface, near enough to lay labels out where no font can be asked.
 * Advances in hundredths of the size for U+0020 to U+007E, read from Source Sans 3 Regular (files of @fontsource/source-sans-3 5.3.0).
 * Anything else counts as wide as the widest common capital, anything from U+2E80 up (ideographs, emoji) as a full square.
 */
const ADVANCES =
  '20 29 43 50 50 82 61 25 30 30 42 50 25 31 25 35 50 50 50 50 50 50 50 50 50 50 25 25 50 50 50 43 ' +
  '85 54 59 57 62 53 49 62 65 26 48 58 49 73 65 66 57 66 57 53 54 65 52 79 51 48 54 30 35 30 50 50 ' +
  '54 50 55 46 56 50 29 50 54 25 25 50 26 83 55 54 56 56 35 42 34 54 47 72 45 47 43 30 24 30 50'
const PERCENT = ADVANCES.split(' ').map(Number)
/** The semi-bold weight runs a little wider. */
const BOLD_RATIO = 1.04

export function textWidth(text: string, size: number, bold = false): number {
  let hundredths = 0
  for (const letter of text) {
    const code = letter.codePointAt(0) ?? 0
    hundredths += PERCENT[code - 32] ?? (code >= 0x2e80 ? 100 : 66)
  }
  return ((hundredths * size) / 100) * (bold ? BOLD_RATIO : 1)
}

/** The text, shortened with an ellipsis where it is wider than the room for it. */
export function fitText(text: string, size: number, roomUnits: number, bold = false): string {
  if (textWidth(text, size, bold) <= roomUnits) return text
  const letters = [...text]
  while (letters.length > 1 && textWidth(`${letters.join('')}…`, size, bold) > roomUnits) letters.pop()
  return `${letters.join('').trimEnd()}…`
}
