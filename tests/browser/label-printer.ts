import { execFileSync, spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { type AddressInfo, createServer } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { decode, rasterOfPgm } from '../papers/decode.ts'

/** A printer at a raw socket that keeps what it was sent. */
export interface LabelPrinter {
  port: number
  printed: Buffer[]
  /** From now on it takes the whole label and then breaks off: nobody can tell whether it prints it. */
  breaksOff: boolean
  close: () => Promise<void>
}

export async function labelPrinter(): Promise<LabelPrinter> {
  const printed: Buffer[] = []
  const server = createServer((socket) => {
    const chunks: Buffer[] = []
    socket.on('data', (chunk) => chunks.push(chunk))
    socket.on('end', () => {
      printed.push(Buffer.concat(chunks))
      if (printer.breaksOff) socket.resetAndDestroy()
    })
    socket.on('error', () => socket.destroy())
  })
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  const printer: LabelPrinter = {
    port: (server.address() as AddressInfo).port,
    printed,
    breaksOff: false,
    close: () => new Promise((resolve) => server.close(() => resolve())),
  }
  return printer
}

/** Whether this machine can draw a PDF as dots and read its words. */
export const CAN_LOOK = spawnSync('pdftoppm', ['-v']).error === undefined

/** What stands on the first page: its barcodes by an independent decoder, and its words. */
export async function lookedAt(pdf: Uint8Array): Promise<{ codes: string[]; words: string }> {
  const folder = mkdtempSync(join(tmpdir(), 'lastmetre-label-'))
  try {
    const file = join(folder, 'label.pdf')
    writeFileSync(file, pdf)
    execFileSync('pdftoppm', ['-gray', '-r', '300', file, join(folder, 'page')])
    const words = execFileSync('pdftotext', ['-layout', file, '-']).toString()
    return { codes: await decode(rasterOfPgm(readFileSync(join(folder, 'page-1.pgm')))), words }
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}
