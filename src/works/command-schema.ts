import { z } from 'zod'
import { CHECK_KINDS } from '../ledger/check-kind.ts'
import type { Command, CommandBody } from '../ledger/command.ts'
import { DRUM_STATUSES, END_CAPS } from '../strip/drum.ts'
import { FAULT_CODES, FAULT_SEVERITIES, POSITION_SOURCES } from '../strip/fault.ts'
import type { CommandsRequest } from './floor-api.ts'
import { aDate, anId, label } from './json-shapes.ts'
import { MAX_LENGTH_M, MAX_NUMBER, MAX_QTY } from './works-files.ts'

/** The commands of the ledger as they come in. What they mean is ledger/command.ts; every string and list has its bound. */

/** Commands of one request: an outbox after a shift without the network. */
export const MAX_COMMANDS = 500
const MAX_PIECES = 500
const MAX_FIGURES = 500
const MAX_MARKS = 200
const MAX_FAULTS = 1000
const MAX_SERIALS = 5000
const MAX_ORIGINS = 5000
const MAX_PARTS = 100
const MAX_NOTE_CHARS = 2000
/** Of a command that is kept word for word. */
const MAX_COMMAND_CHARS = 200_000

const MAX_LENGTH_UM = MAX_LENGTH_M * 1e6
const number = z.number().gt(-MAX_NUMBER).lt(MAX_NUMBER)
const from0 = number.min(0)
const whole = z.number().int().min(0).max(1e9)
const wholeFrom1 = whole.min(1)
const seq = z.number().int().min(1).max(Number.MAX_SAFE_INTEGER)
const lengthUm = z.number().int().min(0).max(MAX_LENGTH_UM)
const uncUm = z.number().min(0).max(MAX_LENGTH_UM)
const mark = number.nullable()
const key = z.string().regex(/^[A-Za-z0-9][A-Za-z0-9._:-]{0,99}$/)
/** Pieces made before the ledger keep their own numbers. */
const serial = anId
const time = z.iso.datetime({ precision: null }).max(40)
/** Free text over several lines, without other control characters. */
const note = z
  .string()
  .max(MAX_NOTE_CHARS)
  .refine((text) => !/[\u0000-\u0009\u000b-\u001f\u007f-\u009f\p{Surrogate}]/u.test(text))
/** Beside labels of papers: may be empty. */
const words = z.union([z.literal(''), label])

const status = z.enum(DRUM_STATUSES)
const endCaps = z.enum(END_CAPS)
const severity = z.enum(FAULT_SEVERITIES)
const code = z.enum(FAULT_CODES)
const positionSource = z.enum(POSITION_SOURCES)

const figure = z.strictObject({
  quantity: label,
  fMhz: from0.nullable(),
  value: number,
  unit: words,
  limit: number.nullable(),
  instrument: label.nullable(),
})
const figures = z.array(figure).max(MAX_FIGURES)

const stripMark = z.strictObject({
  fromUm: lengthUm,
  toUm: lengthUm,
  markFrom: mark,
  markTo: mark,
  printUnit: z.enum(['m', 'ft', 'none']),
})

const receivedFault = z.strictObject({
  fault: anId.nullable(),
  code,
  what: label.nullable(),
  severity,
  fromUm: lengthUm,
  toUm: lengthUm,
  uncUm,
  source: positionSource,
  foundAt: label.nullable(),
  foundDate: aDate,
})

const faultPlace = z.discriminatedUnion('by', [
  z.strictObject({ by: z.literal('mark'), markFrom: number, markTo: number, segment: wholeFrom1.nullable() }),
  z.strictObject({
    ...{ by: z.literal('counter'), fromUm: lengthUm, toUm: lengthUm },
    uncUm: lengthUm.optional(),
  }),
])

const wantedPiece = z.strictObject({
  order: anId.nullable(),
  orderLine: wholeFrom1.nullable(),
  piece: wholeFrom1.nullable(),
  part: wholeFrom1.nullable(),
  count: wholeFrom1.max(MAX_QTY),
  putup: anId.nullable(),
  standardUm: lengthUm.min(1).exactOptional(),
  measuredUm: lengthUm.min(1),
  uncUm,
  trimUm: lengthUm,
  counterM: number.nullable(),
  markOuter: mark,
  markInner: mark,
  inspection: label,
})

const finishedLead = z.strictObject({
  order: anId.nullable(),
  orderLine: wholeFrom1.nullable(),
  lengthUm: lengthUm.min(1),
  tools: z.array(anId).max(MAX_PARTS),
  connectorLots: z.array(label).max(MAX_PARTS),
  figures,
  passed: z.boolean(),
})

const stock = [
  z.strictObject({
    kind: z.literal('receive-drum'),
    drum: anId,
    origin: z.enum(['opening', 'goods in']),
    cable: anId,
    lot: anId,
    drumKind: z.enum(['process_drum', 'remnant']),
    putup: anId,
    lengthUm: lengthUm.min(1),
    lengthUncUm: uncUm,
    lengthHow: z.enum(['book', 'counter', 'marks', 'weight']),
    marks: z.array(stripMark).max(MAX_MARKS),
    faults: z.array(receivedFault).max(MAX_FAULTS),
    rewinds: whole,
    grossKg: from0.nullable(),
    tareKg: from0.nullable(),
    endCaps,
    place: label.nullable(),
    status,
    reason: label.nullable(),
  }),
  z.strictObject({
    kind: z.literal('receive-piece'),
    serial,
    cable: anId,
    lot: anId,
    lengthUm: lengthUm.min(1),
    lengthUncUm: uncUm,
    declaredUm: lengthUm.min(1),
    putup: anId,
    place: label.nullable(),
  }),
  z.strictObject({ kind: z.literal('test-lot'), lot: anId, cable: anId, figures, passed: z.boolean() }),
  z.strictObject({
    kind: z.literal('hold-drum'),
    drum: anId,
    status: status.exclude(['free']),
    reason: label,
  }),
  z.strictObject({ kind: z.literal('release-drum'), drum: anId, reason: label }),
  z.strictObject({ kind: z.literal('move-drum'), drum: anId, place: label }),
  z.strictObject({ kind: z.literal('weigh-drum'), drum: anId, grossKg: from0, tareKg: from0 }),
  z.strictObject({ kind: z.literal('count-drum'), drum: anId, foundUm: lengthUm, foundUncUm: uncUm }),
  z.strictObject({
    kind: z.literal('find-fault'),
    drum: anId,
    code,
    severity,
    what: label.nullable(),
    place: faultPlace,
    line: anId.nullable(),
    signal: z.boolean(),
    foundAt: label.nullable(),
  }),
  z.strictObject({ kind: z.literal('place-fault'), fault: anId, place: faultPlace }),
  z.strictObject({ kind: z.literal('withdraw-fault'), fault: anId, reason: label }),
  z.strictObject({
    kind: z.literal('measure-rest'),
    drum: anId,
    newRestUm: lengthUm,
    uncUm,
    how: z.enum(['ran out', 'more left', 'counter', 'weight', 'marks']),
  }),
  z.strictObject({
    kind: z.literal('move-cut'),
    strip: anId,
    fromUm: lengthUm,
    toUm: lengthUm,
    reason: label,
  }),
] as const

const floor = [
  z.strictObject({
    kind: z.literal('release-plan'),
    planId: wholeFrom1,
    worksVersion: whole,
    cause: z.enum(['planned', 'repaired']),
    origins: z
      .array(
        z.strictObject({
          drum: anId,
          strip: anId,
          outerUm: lengthUm,
          outer: z.enum(['from', 'to']),
          ratio: z.number().gt(0).max(1000),
        }),
      )
      .max(MAX_ORIGINS),
  }),
  z.strictObject({ kind: z.literal('mount-drum'), drum: anId, line: anId, mounting: whole.nullable() }),
  z.strictObject({
    kind: z.literal('put-drum-away'),
    drum: anId,
    line: anId.nullable(),
    place: label,
    endCaps,
    markRead: mark,
  }),
  z.strictObject({
    kind: z.literal('cut-pieces'),
    drum: anId,
    line: anId,
    mounting: whole.nullable(),
    pieces: z.array(wantedPiece).min(1).max(MAX_PIECES),
  }),
  z.strictObject({
    kind: z.literal('cut-off'),
    drum: anId,
    line: anId,
    lengthUm: lengthUm.min(1).nullable(),
    use: z.enum(['scrap', 'trim', 'sample']),
    cause: label,
  }),
  z.strictObject({
    kind: z.literal('wind-off'),
    drum: anId,
    line: anId,
    newDrum: anId.nullable(),
    lengthUm: lengthUm.min(1).nullable(),
    putup: anId,
    place: label,
  }),
  z.strictObject({
    kind: z.literal('stop-line'),
    line: anId,
    cause: label,
    minutes: from0.nullable(),
  }),
] as const

const pieces = [
  z.strictObject({ kind: z.literal('spoil-piece'), serial, cause: label }),
  z.strictObject({ kind: z.literal('test-piece'), serial, figures, passed: z.boolean() }),
  z.strictObject({ kind: z.literal('print-label'), serial, printer: label, reason: label }),
  z.strictObject({ kind: z.literal('shelve-piece'), serial, place: label }),
  z.strictObject({ kind: z.literal('allot-piece'), serial, order: anId, orderLine: wholeFrom1 }),
  z.strictObject({
    kind: z.literal('finish-leads'),
    from: serial,
    leads: z.array(finishedLead).min(1).max(MAX_PIECES),
  }),
  z.strictObject({
    kind: z.literal('ship-pieces'),
    shipment: anId,
    serials: z.array(serial).min(1).max(MAX_SERIALS),
  }),
  z.strictObject({ kind: z.literal('return-piece'), serial, reason: label }),
  z.strictObject({
    kind: z.literal('inspect-return'),
    serial,
    verdict: z.enum(['stock', 'shelf', 'scrap']),
    newDrum: anId.nullable(),
    putup: anId.nullable(),
    place: label.nullable(),
    cause: label.nullable(),
  }),
  z.strictObject({
    kind: z.literal('correct-piece'),
    serial,
    order: anId.nullable(),
    orderLine: wholeFrom1.nullable(),
    measuredUm: lengthUm.min(1),
    markOuter: mark,
    markInner: mark,
    reason: label,
  }),
] as const

const records = [
  z.strictObject({
    kind: z.literal('record-check'),
    what: z.enum(CHECK_KINDS),
    subject: anId,
    cable: anId.exactOptional(),
    passed: z.boolean(),
    figures,
    note: note.nullable(),
  }),
  z.strictObject({
    kind: z.literal('open-complaint'),
    serial,
    claim: z.enum(['short', 'faulty']),
    claimedUm: lengthUm.nullable(),
    method: label,
    uncUm: uncUm.nullable(),
    note: note.nullable(),
  }),
  z.strictObject({
    kind: z.literal('close-complaint'),
    complaint: anId,
    verdict: z.enum(['upheld', 'refused', 'settled']),
    note,
  }),
  z.strictObject({
    kind: z.literal('set-record-aside'),
    commandKind: label,
    commandText: z.string().max(MAX_COMMAND_CHARS),
    why: note,
  }),
  z.strictObject({
    kind: z.literal('settle-record'),
    aside: seq,
    how: z.enum(['booked anew', 'dropped']),
    note,
  }),
  z.strictObject({
    kind: z.literal('change-account'),
    account: anId,
    what: z.enum(['added', 'role', 'pin', 'closed']),
    role: anId,
  }),
  z.strictObject({ kind: z.literal('sign-in'), account: anId }),
  z.strictObject({ kind: z.literal('refuse-sign-in'), account: anId, why: z.enum(['wrong', 'locked']) }),
] as const

const commandBody = z.discriminatedUnion('kind', [
  ...stock,
  ...floor,
  ...pieces,
  ...records,
]) satisfies z.ZodType<CommandBody>

export const commandShape = z.strictObject({
  key,
  at: time,
  station: anId,
  planId: seq.nullable(),
  corrects: seq.nullable(),
  body: commandBody,
}) satisfies z.ZodType<Command>

/** Body of POST /api/ledger/commands. */
export const commandsRequest = z.strictObject({
  commands: z.array(commandShape).min(1).max(MAX_COMMANDS),
  late: z.boolean(),
  maker: z
    .strictObject({
      account: z.string().max(100),
      pass: z.string().max(100).nullable(),
      sentAt: time,
    })
    .exactOptional(),
}) satisfies z.ZodType<CommandsRequest>
