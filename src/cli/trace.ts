import { writeFile } from 'node:fs/promises'
import type { Command } from 'commander'
import { shortSentences, traceFacts, traceSentence } from '../ledger/trace-words.ts'
import { recordDesk } from '../server/record-desk.ts'
import { EXIT } from './exit-codes.ts'
import { printable } from './print.ts'

interface TraceOptions {
  data?: string
  pdf?: string
  json: boolean
}

/** `trace SERIAL`: everything that is known of one piece. */
export function addTrace(program: Command, exitCodes: string, done: (code: number) => void): void {
  program
    .command('trace')
    .description(
      'everything known of a piece: strip, marks, counter that day, spark checks, tools, neighbours, shipment',
    )
    .argument('<serial>', 'serial of a piece or lead')
    .option('--data <dir>', 'folder of the database')
    .option('--pdf <file>', 'write it as a page, too')
    .option('--json', 'print the record for machines on standard output', false)
    .addHelpText('after', exitCodes)
    .action(async (serial: string, { data, pdf, json }: TraceOptions) => {
      const { trace, short } = await recordDesk.trace(data ?? null, serial)
      const width = Math.max(...traceFacts(trace).map(([name]) => name.length)) + 2
      const lines = [
        traceSentence(trace),
        ...(short ? shortSentences(short) : []),
        ...traceFacts(trace).map(([name, value]) => `${name.padEnd(width)}${value}`),
        ...trace.history.map(
          (h) => `${h.day} ${h.at.slice(11, 19)} UTC  ${h.text} (event ${h.seq}, ${h.actor}, ${h.station})`,
        ),
      ]
      process.stdout.write(
        `${json ? JSON.stringify({ ...trace, short }) : lines.map(printable).join('\n')}\n`,
      )
      if (pdf !== undefined) await writeFile(pdf, await recordDesk.page(data ?? null, serial))
      done(EXIT.ok)
    })
}
