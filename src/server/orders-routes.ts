import type { FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { LastmetreError } from '../quantity/errors.ts'
import type { OrdersPreview } from '../works/api.ts'
import { droppedText } from '../works/dropped-text.ts'
import { previewOrders } from '../works/preview-orders.ts'
import type { OrdersContent } from '../works/table.ts'
import { MAX_FILE_BYTES } from '../works/works-files.ts'
import { readXlsx } from './read-xlsx.ts'
import { errorShape, previewBody, storeOrdersBody, worksShape } from './schemas.ts'
import { WaitingPreviews } from './waiting-previews.ts'
import type { WorksDesk } from './works-desk.ts'

/** JSON writes some characters as six. */
const PREVIEW_LIMIT_BYTES = 2 * MAX_FILE_BYTES

/** Order lines that are pasted or dropped: shown as understood first, stored after a press. */
export function ordersRoutes(works: WorksDesk): FastifyPluginAsyncZod {
  const waiting = new WaitingPreviews<{ version: number; ordersCsv: Uint8Array }>()
  return async (app) => {
    app.post(
      '/api/orders/preview',
      {
        config: { deed: 'change-works' },
        bodyLimit: PREVIEW_LIMIT_BYTES,
        schema: {
          summary:
            'Reads order lines and answers how they are understood: JSON { text }, or a CSV, text or XLSX file as multipart',
          consumes: ['application/json', 'multipart/form-data'],
        },
      },
      async (request): Promise<OrdersPreview> => {
        const content = await receivedOrders(request)
        const { row, files } = works.current()
        const { preview, ordersCsv } = previewOrders(row.name, files, content)
        if (ordersCsv === null) return { token: '', ...preview }
        const token = waiting.keep({ version: row.version, ordersCsv })
        return { token, ...preview }
      },
    )
    app.post(
      '/api/orders',
      {
        config: { deed: 'change-works' },
        schema: {
          summary: 'Stores the order lines that were previewed under a token',
          body: storeOrdersBody,
          response: { 200: worksShape, '4xx': errorShape },
        },
      },
      async (request) => {
        const { token } = request.body
        const preview = waiting.find(token)
        if (preview === undefined || preview.version !== works.current().row.version) {
          throw new LastmetreError('preview-stale', 'The works has changed since these lines were shown.')
        }
        await works.changeOrders(preview.ordersCsv)
        waiting.forget(token)
        return works.summary()
      },
    )
  }
}

async function receivedOrders(request: FastifyRequest): Promise<OrdersContent> {
  if (!request.isMultipart()) {
    const body = previewBody.safeParse(request.body)
    if (!body.success)
      throw new LastmetreError('bad-request', 'Order lines are sent as { "text": ... } or as a file.')
    return { text: body.data.text }
  }
  const part = await request.file({ limits: { files: 1, fields: 4, fileSize: MAX_FILE_BYTES } })
  if (part === undefined) throw new LastmetreError('bad-request', 'No file was sent.')
  const bytes = await part.toBuffer()
  // A zip begins with PK (APPNOTE.TXT 4.3.7), and an XLSX file is a zip.
  if (bytes[0] === 0x50 && bytes[1] === 0x4b) return { cells: await readXlsx(bytes) }
  return { text: droppedText(bytes) }
}
