import { request } from 'node:http'
import type { PrinterAddress } from '../works/more-printers.ts'
import { LabelTaken } from './label-taken.ts'

/** Tags and codes of RFC 8010, 3.5 and RFC 8011, 5.4.15 and annex B. */
const VERSION_1_1 = [1, 1]
const PRINT_JOB = 0x0002
const OPERATION_ATTRIBUTES = 0x01
const END_OF_ATTRIBUTES = 0x03
const CHARSET = 0x47
const LANGUAGE = 0x48
const URI = 0x45
const NAME = 0x42
const MIME_TYPE = 0x49
/** Status codes below this are successes (RFC 8011, B.1.2). */
const FIRST_FAILURE = 0x0100
const MOST_ANSWER_BYTES = 64 * 1024

type IppAddress = Extract<PrinterAddress, { protocol: 'ipp' }>

/** The request for one job: RFC 8010, 3.1; its attributes in the order that RFC 8011, 4.2.1.1 asks for. */
export function printJobRequest(
  { host, port, path }: IppAddress,
  jobName: string,
  requestId: number,
): Buffer {
  const head = Buffer.alloc(8)
  head.set(VERSION_1_1)
  head.writeUInt16BE(PRINT_JOB, 2)
  head.writeUInt32BE(requestId, 4)
  return Buffer.concat([
    head,
    Buffer.of(OPERATION_ATTRIBUTES),
    attribute(CHARSET, 'attributes-charset', 'utf-8'),
    attribute(LANGUAGE, 'attributes-natural-language', 'en'),
    attribute(URI, 'printer-uri', `ipp://${host}:${port}${path}`),
    attribute(NAME, 'requesting-user-name', 'lastmetre'),
    attribute(NAME, 'job-name', jobName),
    attribute(MIME_TYPE, 'document-format', 'application/pdf'),
    Buffer.of(END_OF_ATTRIBUTES),
  ])
}

/** RFC 8010, 3.1.4: tag, length and name, length and value; lengths of two bytes, highest first. */
function attribute(tag: number, name: string, value: string): Buffer {
  const [nameBytes, valueBytes] = [Buffer.from(name), Buffer.from(value)]
  const lengths = [Buffer.alloc(2), Buffer.alloc(2)] as const
  lengths[0].writeUInt16BE(nameBytes.length)
  lengths[1].writeUInt16BE(valueBytes.length)
  return Buffer.concat([Buffer.of(tag), lengths[0], nameBytes, lengths[1], valueBytes])
}

/**
 * Sends a PDF as one job. Rejects where the printer does not answer within `maxMs`, or refuses; with LabelTaken where it had
 * the whole job and did not say what became of it.
 */
export function sendIpp(address: IppAddress, jobName: string, pdf: Uint8Array, maxMs: number): Promise<void> {
  const { host, port, path } = address
  const body = Buffer.concat([printJobRequest(address, jobName, 1), pdf])
  return new Promise((resolve, reject) => {
    const headers = { 'content-type': 'application/ipp', 'content-length': body.length }
    const sent = request({ host, port, path, method: 'POST', headers, timeout: maxMs }, (answer) => {
      const chunks: Buffer[] = []
      let bytes = 0
      answer.on('data', (chunk: Buffer) => {
        bytes += chunk.length
        if (bytes > MOST_ANSWER_BYTES) sent.destroy(new Error('it answered too much'))
        else chunks.push(chunk)
      })
      answer.on('end', () => {
        const whole = Buffer.concat(chunks)
        if (answer.statusCode !== 200) reject(new Error(`it answered ${answer.statusCode} and no IPP`))
        else if (whole.length < 8) reject(new LabelTaken('it answered no IPP'))
        else if (whole.readUInt16BE(2) >= FIRST_FAILURE)
          reject(
            new Error(
              `it refused the job (IPP status 0x${whole.readUInt16BE(2).toString(16).padStart(4, '0')})`,
            ),
          )
        else resolve()
      })
    })
    const limit = setTimeout(() => sent.destroy(new Error('it did not answer in time')), maxMs)
    sent.on('error', (error) =>
      reject(sent.writableFinished ? new LabelTaken(error.message, { cause: error }) : error),
    )
    sent.on('close', () => clearTimeout(limit))
    sent.end(body)
  })
}
