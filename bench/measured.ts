import { mkdirSync, writeFileSync } from 'node:fs'
import { availableParallelism, totalmem } from 'node:os'
import { join } from 'node:path'

/** The machine in words: enough to judge a figure by, nothing that names it. */
export function machine(): string {
  const memoryGb = Math.round(totalmem() / 2 ** 30)
  return `${availableParallelism()} cores, ${memoryGb} GB of memory, Node ${process.versions.node}, ${process.platform} ${process.arch}`
}

/** Largest memory of this process so far, MB. */
export function peakMemoryMb(): number {
  return Math.round(process.resourceUsage().maxRSS / 1024)
}

export function markdownTable(header: string[], rows: (string | number)[][]): string {
  const line = (cells: (string | number)[]) => `| ${cells.join(' | ')} |`
  return [line(header), line(header.map(() => '---')), ...rows.map(line)].join('\n')
}

/** Prints a result and keeps it in bench/results. */
export function keepResult(file: string, title: string, text: string): void {
  const page = `# ${title}\n\nMeasured on ${machine()}.\n\n${text}\n`
  process.stdout.write(`\n${page}`)
  mkdirSync(join('bench', 'results'), { recursive: true })
  writeFileSync(join('bench', 'results', file), page)
}
