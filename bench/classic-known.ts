import { readFileSync } from 'node:fs'

/** Best values known, by name of file, from tables that name them in a column `best_ub` or `lib_ub` beside `file`. */
export function knownValues(tables: string[]): Map<string, number> {
  const known = new Map<string, number>()
  for (const table of tables) {
    const [header, ...rows] = readFileSync(table, 'utf8')
      .trim()
      .split(/\r?\n/)
      .map((line) => line.split(','))
    const file = header!.indexOf('file')
    const values = ['lib_ub', 'best_ub'].map((name) => header!.indexOf(name)).filter((column) => column >= 0)
    for (const row of rows)
      for (const column of values) {
        const name = row[file]
        const value = Number(row[column])
        if (name === undefined || row[column] === '' || !Number.isFinite(value)) continue
        known.set(name, Math.min(known.get(name) ?? Number.POSITIVE_INFINITY, value))
      }
  }
  return known
}
