import type { FastifyInstance } from 'fastify'
import { hasZodFastifySchemaValidationErrors } from 'fastify-type-provider-zod'
import { ERRORS, type ErrorCode, LastmetreError } from '../quantity/errors.ts'
import type { ErrorAnswer } from '../works/api.ts'
import { InputRefused } from './refusal.ts'

/** Every refusal in the one form of the table of errors; what nobody foresaw is logged, not shown. */
export function answerErrors(app: FastifyInstance): void {
  app.setErrorHandler((error, request, reply) => {
    const { status, answer } = errorAnswer(error)
    if (status >= 500 && !(error instanceof LastmetreError)) request.log.error(error)
    return reply.status(status).send(answer)
  })
}

function errorAnswer(error: unknown): { status: number; answer: ErrorAnswer } {
  if (error instanceof InputRefused) {
    const { code, status, message, todo, problems, more } = error
    return { status, answer: { code, message, todo, problems, more } }
  }
  if (error instanceof LastmetreError) {
    const { code, status, message, todo } = error
    return { status, answer: { code, message, todo } }
  }
  if (hasZodFastifySchemaValidationErrors(error)) {
    const where = error.validation.map((v) => `${v.instancePath || 'body'}: ${v.message ?? 'wrong'}`)
    return plain('bad-request', where.slice(0, 10).join('; '))
  }
  const {
    code = '',
    statusCode = 500,
    message,
  } = error as {
    code?: string
    statusCode?: number
    message: string
  }
  if (statusCode === 413) return plain('too-large', 'What was sent is too large.')
  if (statusCode === 404) return plain('not-found', 'There is nothing at this address.')
  if (statusCode < 500) return plain('bad-request', message)
  if (code.startsWith('SQLITE_')) return plain('store-failed', 'The database refused the change.')
  return plain('unexpected', 'Something failed that should not.')
}

function plain(code: ErrorCode, message: string): { status: number; answer: ErrorAnswer } {
  return { status: ERRORS[code].status, answer: { code, message, todo: ERRORS[code].todo } }
}
