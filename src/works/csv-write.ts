/** What a cell of an output file may be: numbers are written as they are, text is quoted and made harmless. */
export type Cell = string | number | null

/**
 * RFC 4180 with CRLF. A text that a spreadsheet would run as a formula gets an apostrophe before it;
 * a number never needs one, since it is not text.
 */
export function writeCsv(header: readonly string[], rows: Iterable<readonly Cell[]>): string {
  const lines = [header.join(',')]
  for (const row of rows) lines.push(row.map(cellText).join(','))
  return `${lines.join('\r\n')}\r\n`
}

function cellText(cell: Cell): string {
  if (cell === null) return ''
  if (typeof cell === 'number') return String(cell)
  const harmless = /^[=+\-@\t\r]/.test(cell) ? `'${cell}` : cell
  return /[",\r\n]/.test(harmless) ? `"${harmless.replaceAll('"', '""')}"` : harmless
}
