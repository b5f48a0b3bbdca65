import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import type { LineAnswer } from '../works/api.ts'
import { inputQuery } from './schemas.ts'
import type { WorksDesk } from './works-desk.ts'

/** What is recorded of the lines; the screens compute settings, counters and runs from it. */
export function lineRoutes(works: WorksDesk): FastifyPluginAsyncZod {
  return async (app) => {
    app.get(
      '/api/line',
      {
        config: { deed: 'look' },
        schema: {
          summary:
            'What is recorded of the lines: recorded run, month ledger, and what more/ says of lines and lengths',
          querystring: inputQuery,
        },
      },
      async (request): Promise<LineAnswer> => {
        const { version } = request.query
        const {
          row,
          works: checked,
          more,
        } = version === undefined ? works.current() : await works.version(version)
        const { sparkTested, ...line } = more.line
        return {
          version: row.version,
          lineRun: checked.lineRun,
          monthLedger: checked.monthLedger,
          line: { ...line, sparkTested: sparkTested ? [...sparkTested] : null },
          records: more.records,
        }
      },
    )
  }
}
