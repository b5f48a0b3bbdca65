import type { Problem } from './problem.ts'
import { MAX_PROBLEMS } from './works-files.ts'

/** Gathers the problems of a folder: all are counted, the first of each file are kept, so that memory stays bounded. */
export class ProblemList {
  readonly #files: readonly string[]
  readonly #kept = new Map<string, Problem[]>()
  #count = 0

  /** `files`: the order in which problems are listed. */
  constructor(files: readonly string[]) {
    this.#files = files
  }

  get count(): number {
    return this.#count
  }

  add(file: string, row: number | null, column: string | null, wrong: string, right: string): void {
    this.#count += 1
    const kept = this.#kept.get(file)
    if (!kept) this.#kept.set(file, [{ file, row, column, wrong, right }])
    else if (kept.length < MAX_PROBLEMS) kept.push({ file, row, column, wrong, right })
  }

  /** By file, then by row, then as found; at most MAX_PROBLEMS, and how many there are beyond those. */
  listed(): { problems: Problem[]; more: number } {
    const all: Problem[] = []
    for (const file of this.#files) {
      const kept = this.#kept.get(file) ?? []
      all.push(...[...kept].sort((a, b) => (a.row ?? 0) - (b.row ?? 0)))
    }
    const problems = all.slice(0, MAX_PROBLEMS)
    return { problems, more: this.#count - problems.length }
  }
}

/** A found value as a message shows it: quoted, control characters made visible, cut at 40 characters. */
export function shown(value: string): string {
  const visible = value.replace(
    /[\u0000-\u001f\u007f-\u009f\u2028-\u202e\u2066-\u2069]/g,
    (c) => `\\u${c.charCodeAt(0).toString(16).padStart(4, '0')}`,
  )
  const chars = [...visible.slice(0, 100)]
  return chars.length > 40 ? `“${chars.slice(0, 39).join('')}…”` : `“${visible}”`
}
