import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { LastmetreError } from '../quantity/errors.ts'
import type { BenchAnswer } from '../works/api.ts'
import type { JudgeQuestion } from '../works/judged-lead.ts'
import { MAX_FILE_BYTES } from '../works/works-files.ts'
import { inWorker } from './in-worker.ts'
import { type CertificateOrder, setPdf } from './lead-papers.ts'
import { printedNow } from './plan-papers.ts'
import type { WorksDesk } from './works-desk.ts'

/** What the lead bench needs, and certificates of measured leads. */
export function benchRoutes(works: WorksDesk): FastifyPluginAsyncZod {
  return async (app) => {
    app.get(
      '/api/bench',
      {
        config: { deed: 'look' },
        schema: { summary: 'What the bench computes with: attenuation points, tested leads, more/ on leads' },
      },
      async (): Promise<BenchAnswer> => {
        const { row, works: checked, more } = works.current()
        const { attenuation, leadTests } = checked
        return { version: row.version, attenuation, leadTests, more: more.lead, records: more.bench }
      },
    )
    app.post(
      '/api/bench/certificate',
      {
        config: { deed: 'test-piece' },
        schema: {
          summary:
            'Judges a measurement and answers its certificate as PDF: multipart, field `question` (JSON: serial or spec, instrument, tempC) before the file',
          consumes: ['multipart/form-data'],
        },
      },
      async (request, reply) => {
        const current = works.current()
        const { question, file } = await received(request)
        const order: CertificateOrder = {
          works: current.works,
          more: current.more.lead,
          question: {
            lead: { serial: question.serial, spec: question.spec },
            ...{ file, adapterA: null, adapterB: null, uncertainty: {} },
            ...{ instrument: question.instrument, tempC: question.tempC },
          } satisfies JudgeQuestion,
          printedAt: printedNow(current.works),
        }
        const exceeded = new LastmetreError('unexpected', 'The certificate could not be drawn.')
        const pdf = await inWorker<Uint8Array>('certificate-worker', order, {
          ...{ maxMs: 60_000, maxHeapMb: 512, exceeded },
        })
        return sendPdf(reply, pdf)
      },
    )
    app.post(
      '/api/bench/set-certificate',
      {
        config: { deed: 'test-piece' },
        schema: {
          summary:
            'The certificate of a matched set of finished leads as PDF; fMhz null: matched by delay, window in ps',
          body: setBody,
        },
      },
      async (request, reply) => {
        const { works: loaded } = works.current()
        return sendPdf(reply, await setPdf(loaded, request.body, printedNow(loaded)))
      },
    )
  }
}

const setBody = z.strictObject({
  serials: z.array(z.string().min(1).max(64)).min(2).max(200),
  window: z.number().positive().max(1e6),
  fMhz: z.number().positive().max(1e6).nullable(),
})

function sendPdf(reply: FastifyReply, pdf: Uint8Array): FastifyReply {
  return reply
    .header('content-type', 'application/pdf')
    .header('content-disposition', 'attachment; filename="certificate.pdf"')
    .send(Buffer.from(pdf))
}

const questionShape = z.strictObject({
  serial: z.string().min(1).max(64).nullable(),
  spec: z.string().min(1).max(300).nullable(),
  instrument: z.string().min(1).max(64).nullable(),
  tempC: z.number().min(-100).max(200).nullable(),
})

async function received(request: FastifyRequest) {
  let question: z.infer<typeof questionShape> | null = null
  const limits = { files: 1, fields: 2, fileSize: MAX_FILE_BYTES + 1 }
  for await (const part of request.parts({ limits })) {
    if (part.type === 'field') {
      if (part.fieldname === 'question') question = questionOf(part.value)
      continue
    }
    const bytes = new Uint8Array(await part.toBuffer())
    if (bytes.length > MAX_FILE_BYTES) throw new LastmetreError('too-large', `${part.filename} is too large.`)
    if (!question) throw new LastmetreError('bad-request', 'The field `question` must come before the file.')
    return { question, file: { name: part.filename, bytes } }
  }
  throw new LastmetreError('bad-request', 'No measurement was sent.')
}

function questionOf(sent: unknown): z.infer<typeof questionShape> {
  try {
    return questionShape.parse(JSON.parse(String(sent)))
  } catch {
    throw new LastmetreError('bad-request', 'The field `question` is not as described at /api/docs.json.')
  }
}
