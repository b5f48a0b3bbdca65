import type { FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { LastmetreError } from '../quantity/errors.ts'
import { withLengthGuard } from '../works/accept-guard.ts'
import type { ChecksPreview, GuardRequest } from '../works/api.ts'
import { droppedText } from '../works/dropped-text.ts'
import { previewChecks } from '../works/preview-checks.ts'
import { MAX_FILE_BYTES } from '../works/works-files.ts'
import { errorShape, previewBody, storeOrdersBody, worksShape } from './schemas.ts'
import { WaitingPreviews } from './waiting-previews.ts'
import type { WorksDesk } from './works-desk.ts'

const ANSWERS = { 200: worksShape, '4xx': errorShape }
const guardBody = z.strictObject({
  version: z.int().min(1),
  // more than a tenth is a slip of the pen, not a guard
  lengthGuardRatio: z.number().min(0).max(0.1),
}) satisfies z.ZodType<GuardRequest>

/** Tape checks of the counters: shown as understood, stored after a press; and the length guard that the works accepts. */
export function counterRoutes(works: WorksDesk): FastifyPluginAsyncZod {
  const waiting = new WaitingPreviews<{ version: number; checksCsv: Uint8Array }>()
  return async (app) => {
    app.post(
      '/api/counter/preview',
      {
        config: { deed: 'record-check' },
        bodyLimit: 2 * MAX_FILE_BYTES,
        schema: {
          summary:
            'Reads tape checks and answers how they are understood: JSON { text }, or a CSV file as multipart',
          consumes: ['application/json', 'multipart/form-data'],
        },
      },
      async (request): Promise<ChecksPreview> => {
        const content = await receivedChecks(request)
        const { row, files, works: checked } = works.current()
        const { preview, checksCsv } = previewChecks(checked, files, content)
        if (checksCsv === null) return { token: '', ...preview }
        const token = waiting.keep({ version: row.version, checksCsv })
        return { token, ...preview }
      },
    )
    app.post(
      '/api/counter/checks',
      {
        config: { deed: 'record-check' },
        schema: {
          summary: 'Stores the tape checks that were previewed under a token',
          body: storeOrdersBody,
          response: ANSWERS,
        },
      },
      async ({ body }) => {
        const preview = waiting.find(body.token)
        if (preview === undefined || preview.version !== works.current().row.version)
          throw new LastmetreError('preview-stale', 'The works has changed since these checks were shown.')
        await works.changeFile('counter checks', 'counter_checks.csv', preview.checksCsv)
        waiting.forget(body.token)
        return works.summary()
      },
    )
    app.post(
      '/api/counter/guard',
      {
        config: { deed: 'change-works' },
        schema: {
          summary: 'Accepts a length guard: from now on plans and their check use it',
          body: guardBody,
          response: ANSWERS,
        },
      },
      async ({ body }) => {
        const { row, files } = works.current()
        if (row.version !== body.version)
          throw new LastmetreError('figures-stale', 'The works has changed since this guard was shown.')
        const linesJson = withLengthGuard(files.get('lines.json') ?? new Uint8Array(), body.lengthGuardRatio)
        if (linesJson === null) throw new LastmetreError('unexpected', 'lines.json cannot be written.')
        await works.changeFile('length guard', 'lines.json', linesJson)
        return works.summary()
      },
    )
  }
}

async function receivedChecks(request: FastifyRequest): Promise<string> {
  if (!request.isMultipart()) {
    const body = previewBody.safeParse(request.body)
    if (!body.success)
      throw new LastmetreError('bad-request', 'Tape checks are sent as { "text": ... } or as a file.')
    return body.data.text
  }
  const part = await request.file({ limits: { files: 1, fields: 4, fileSize: MAX_FILE_BYTES } })
  if (part === undefined) throw new LastmetreError('bad-request', 'No file was sent.')
  return droppedText(await part.toBuffer())
}
