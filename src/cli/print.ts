import type { InputRefused } from '../server/refusal.ts'
import type { Notice, Problem } from '../works/problem.ts'

/** Text of a file must not be able to steer the terminal: control characters are made visible. */
export function printable(text: string): string {
  return text.replace(
    /[\u0000-\u001f\u007f-\u009f\u2028-\u202e\u2066-\u2069]/g,
    (c) => `\\u${c.charCodeAt(0).toString(16).padStart(4, '0')}`,
  )
}

/** `file:row column`, as much of it as there is. */
function place({ file, row, column }: Pick<Problem, 'file' | 'row' | 'column'>): string {
  return printable(`${file}${row === null ? '' : `:${row}`}${column === null ? '' : ` ${column}`}`)
}

/** Every problem on a line of its own on standard output, the summary on standard error. */
export function printProblems(refused: InputRefused): void {
  const lines = refused.problems.map((p) => `${place(p)} — ${printable(p.wrong)} — ${printable(p.right)}\n`)
  if (refused.more > 0) lines.push(`… and ${refused.more} more\n`)
  process.stdout.write(lines.join(''))
  process.stderr.write(`${printable(refused.message)} ${refused.todo}\n`)
}

export function printNotices(notices: Notice[]): void {
  process.stdout.write(notices.map((n) => `notice: ${place(n)} — ${printable(n.text)}\n`).join(''))
}
