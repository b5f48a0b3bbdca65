import { describe, expect, it } from 'vitest'
import type { LedgerEvent } from '../../src/ledger/event.ts'
import { canonical, eventText } from '../../src/ledger/event-text.ts'

const event: LedgerEvent = {
  ...{ seq: 7, key: 'T1-7', at: '2031-03-03T06:00:00Z', bookedAt: '2031-03-03T06:00:01Z', actor: 'anna' },
  ...{ station: 'T1', planId: null, corrects: 3 },
  body: { kind: 'drum-moved', drum: 'D030', place: 'Ä "1"' },
  ...{ previousHash: '0'.repeat(64), hash: 'f'.repeat(64) },
}

describe('the text of an event that is hashed', () => {
  it('is JSON with keys in order, and without the hash', () => {
    expect(eventText(event)).toBe(
      `{"actor":"anna","at":"2031-03-03T06:00:00Z","body":{"drum":"D030","kind":"drum-moved","place":"Ä \\"1\\""},"bookedAt":"2031-03-03T06:00:01Z","corrects":3,"key":"T1-7","planId":null,"previousHash":"${'0'.repeat(64)}","seq":7,"station":"T1"}`,
    )
  })

  it('does not depend on the order of the fields', () => {
    const turned = Object.fromEntries(Object.entries(event).reverse()) as unknown as LedgerEvent
    expect(eventText(turned)).toBe(eventText(event))
  })

  it.each(Object.keys(event).filter((k) => k !== 'hash'))('changes with %s', (field) => {
    expect(eventText({ ...event, [field]: 99 })).not.toBe(eventText(event))
  })

  // RFC 8785 appendix: keys in order of their UTF-16 code units, whole and broken numbers as ECMAScript writes them
  it('orders keys by code units', () => {
    expect(canonical({ '€': 1, '\r': 2, '1': 3, '\u0080': 4, ö: 5 })).toBe(
      '{"\\r":2,"1":3,"\u0080":4,"ö":5,"€":1}',
    )
    expect(canonical([1e21, 4.5, -0, undefined, { a: undefined }])).toBe('[1e+21,4.5,0,null,{}]')
  })
})
