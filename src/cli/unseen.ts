import { createInterface } from 'node:readline'
import { Writable } from 'node:stream'

/** Asks for a line on the terminal without showing what is typed; off a terminal, the first line of standard input. */
export function askUnseen(question: string): Promise<string> {
  const silent = new Writable({ write: (_chunk, _encoding, next) => next() })
  const terminal = process.stdin.isTTY === true
  if (terminal) process.stderr.write(question)
  const lines = createInterface({ input: process.stdin, output: silent, terminal })
  return new Promise((resolve) => {
    let answer = ''
    lines.once('line', (line) => {
      answer = line.trim()
      lines.close()
    })
    lines.once('close', () => {
      if (terminal) process.stderr.write('\n')
      resolve(answer)
    })
  })
}
