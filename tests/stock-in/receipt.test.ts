import { beforeAll, describe, expect, test } from 'vitest'
import { applyEvent } from '../../src/ledger/apply.ts'
import type { Command, CommandBody } from '../../src/ledger/command.ts'
import { decide } from '../../src/ledger/decide.ts'
import { type Receipt, receiptCommand, receiptWitnesses, usualWitness } from '../../src/ledger/receipt.ts'
import { openingPieces } from '../../src/ledger/receive-piece.ts'
import { LedgerState, NO_HASH } from '../../src/ledger/state.ts'
import { agreedLength } from '../../src/measure/witness.ts'
import { loadWithMore, readWholeFolder } from '../../src/server/kept-more.ts'
import { readFaults, readMarks } from '../../src/works/receipt-text.ts'
import type { Works } from '../../src/works/works.ts'
import { DEMO } from '../support/demo.ts'

let works: Works
let pieces: Parameters<typeof openingPieces>[1]
beforeAll(async () => {
  const loaded = loadWithMore(await readWholeFolder(DEMO))
  works = loaded.works
  pieces = loaded.more.stock.finishedPieces!
})

const receipt = (change: Partial<Receipt> = {}): Receipt => ({
  ...{ drum: 'D050', cable: 'C081-50', lot: 'L081-3110A', drumKind: 'process_drum', putup: 'PR-1250' },
  // 83.6 kg/km (works folder): 83.6 kg of cable are a kilometre
  ...{ noteUm: 1e9, grossKg: 218.6, tareKg: 135, marks: [{ outer: 3000, inner: 2000 }], printUnit: 'm' },
  ...{ faults: [], endCaps: 'both', place: 'A1', status: 'free', reason: null, receivedDate: '2031-03-03' },
  ...change,
})
const cable = () => works.cables.find((c) => c.cable === 'C081-50')!
const fault = (markFrom: number, markTo = markFrom) => ({
  ...{ code: 'SPK' as const, severity: 'cut_out' as const, what: null, source: 'mark_read' as const },
  ...{ markFrom, markTo },
})

function booked(of: Receipt) {
  const witnesses = receiptWitnesses(of, cable())
  const how = usualWitness(witnesses)!
  return { how, made: receiptCommand(of, how, witnesses[how]!) }
}

describe('goods in', () => {
  test('note, marks and weight speak for one length; a note 4 % long is found and the marks are booked', () => {
    const agree = Object.values(receiptWitnesses(receipt(), cable()))
    expect(agree.map((w) => w.lengthUm)).toEqual([1e9, 1e9, 1e9])
    expect(agreedLength(agree).agree).toBe(true)
    const long = receipt({ noteUm: 1.04e9 })
    const quarrel = agreedLength(Object.values(receiptWitnesses(long, cable())))
    expect(quarrel.agree).toBe(false)
    expect(booked(long).how).toBe('marks')
    expect(booked(receipt({ noteUm: 1.009e9 })).how).toBe('book')
    expect(booked(receipt({ noteUm: null, marks: [], printUnit: 'none' })).how).toBe('weight')
    expect(usualWitness({})).toBeNull()
  })

  test('a fault lies where its mark lies, falling print, restart and feet', () => {
    const { made } = booked(receipt({ faults: [fault(2899.5)] }))
    if ('wrong' in made) throw new Error(made.wrong[0])
    // 3000 − 2899.5 marks inwards; read at the mark: ±0.3 m (TRADE.md §3)
    expect(made.command.faults[0]).toMatchObject({ fromUm: 100_500_000, toUm: 100_500_000, uncUm: 300_000 })
    const restarted = receipt({
      marks: [
        { outer: 0, inner: 400 },
        { outer: 0, inner: 600 },
      ],
    })
    const twice = booked({ ...restarted, faults: [fault(100)] }).made
    expect('wrong' in twice && twice.wrong[0]).toMatch(/more than once/)
    const once = booked({ ...restarted, faults: [fault(500)] }).made
    expect('command' in once && once.command.faults[0]!.fromUm).toBe(900_000_000)
    const feet = booked(receipt({ noteUm: null, printUnit: 'ft', faults: [fault(2500)] })).made
    // 500 marks of 0.3048 m
    expect('command' in feet && feet.command.faults[0]!.fromUm).toBe(152_400_000)
    const beyond = booked(receipt({ faults: [fault(1999)] })).made
    expect('wrong' in beyond).toBe(true)
  })

  test('what goods in makes the ledger takes, once', () => {
    const { made } = booked(receipt({ faults: [fault(2899.5)] }))
    if ('wrong' in made) throw new Error(made.wrong[0])
    const state = new LedgerState()
    book(state, made.command)
    expect(state.drums.get('D050')).toMatchObject({ fromUm: 0, toUm: 1e9, status: 'free', place: 'A1' })
    expect([...state.faults.rows()]).toHaveLength(1)
    expect(() => book(state, made.command)).toThrow(/already/)
  })

  test('marks and faults are read as people type them, and nothing is guessed', () => {
    expect(readMarks('3304,9 – 2500; 0 350')).toEqual({
      marks: [
        { outer: 3304.9, inner: 2500 },
        { outer: 0, inner: 350 },
      ],
    })
    for (const text of ['', '12', '1 2 3', '5 - 5', '1.2.3 - 4'])
      expect('wrong' in readMarks(text), text).toBe(true)
    const pasted = readFaults('mark_from\tmark_to\tcode\tseverity\n10\t\tspk\t\n12\t13\tLUMP\tnote\n')
    expect(pasted.wrong).toEqual([])
    expect(pasted.faults.map((f) => [f.markFrom, f.markTo, f.code, f.severity])).toEqual([
      [10, 10, 'SPK', 'cut_out'],
      [12, 13, 'LUMP', 'note'],
    ])
    expect(readFaults('10;11;CRACK').wrong).toHaveLength(1)
    expect(readFaults('ten;11;SPK').wrong).toHaveLength(1)
  })
})

describe('the shelf as it was before the ledger', () => {
  test('its pieces come in once, each a strip of its own that is all piece', () => {
    const state = new LedgerState()
    const commands = openingPieces(works, pieces, new Set(), '2031-03-03T06:00:00.000Z')
    expect(commands).toHaveLength(7)
    for (const { body } of commands) book(state, body)
    const drum = state.pieces.get('KS30-0240')!
    expect(drum).toMatchObject({ where: 'shelf', order: null, declaredUm: 700e6, measuredUm: 701_900_000 })
    expect(state.stretches.get('KS30-0240')).toMatchObject([{ fromUm: 0, toUm: 701_900_000, use: 'piece' }])
    expect(openingPieces(works, pieces, new Set(['KS30-0240']), '')).toHaveLength(6)
    expect(() => book(state, commands[0]!.body)).toThrow(/already/)
    book(state, { kind: 'allot-piece', serial: 'KS30-0240', order: '7118', orderLine: 1 })
    expect(state.pieces.get('KS30-0240')).toMatchObject({ order: '7118', orderLine: 1 })
  })
})

function book(state: LedgerState, body: CommandBody): void {
  const at = '2031-03-03T06:00:00.000Z'
  const command: Command = { key: 'k', at, station: 'T', planId: null, corrects: null, body }
  const event = decide(state, command, { works, today: '2031-03-03', bookedAt: at })
  const seq = state.head.seq + 1
  applyEvent(state, {
    ...{ seq, key: 'k', at, bookedAt: at, actor: 'P1', station: 'T', planId: null, corrects: null },
    ...{ body: event, previousHash: NO_HASH, hash: NO_HASH },
  })
  state.head = { ...state.head, seq }
}
