import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { readTouchstone } from '../../src/lead/touchstone.ts'
import { HZ_PER_UNIT } from '../../src/lead/touchstone-option.ts'
import { touchstoneText } from '../../src/lead/touchstone-write.ts'
import { LastmetreError } from '../../src/quantity/errors.ts'
import values from './lead-values.json' with { type: 'json' }
import wanted from './touchstone/expected.json' with { type: 'json' }
import { MALFORMED } from './touchstone-malformed.ts'

/**
 * The files of touchstone/ are our own: one network written in every way that the specification knows, by a script that
 * shares no code with the reader and went by way of impedances. expected.json holds the network.
 */
interface Wanted {
  fHz: number[]
  s: [number, number][][]
  zRefOhm: number[]
  noise?: [number, number][]
  notes?: number
  information?: string[]
}

const FILES = Object.entries(wanted as unknown as Record<string, Wanted>)
/** On disk a `.ts` of Touchstone has .txt behind it, lest it be taken for code. */
const bytesOf = (file: string) =>
  new Uint8Array(
    readFileSync(join(import.meta.dirname, 'touchstone', file.endsWith('.ts') ? `${file}.txt` : file)),
  )
const bytes = (text: string) => new TextEncoder().encode(text)
const published = (id: string) => values.find((v) => v.id === id)!

describe('every construct of the specification', () => {
  test('there are files of both versions, all parameters, formats and orders', () => {
    expect(FILES.length).toBeGreaterThanOrEqual(45)
  })

  test.each(FILES)('%s', (file, { fHz, s, zRefOhm, noise, notes, information }) => {
    const read = readTouchstone(file, bytesOf(file))
    const flat = s.flat(2)
    expect(read.sweep.ports).toBe(zRefOhm.length)
    expect(read.sweep.zRefOhm).toEqual(zRefOhm)
    fHz.forEach((f, i) => {
      expect(read.sweep.fHz[i]).toBeCloseTo(f, 3)
    })
    expect(read.sweep.fHz).toHaveLength(fHz.length)
    expect(read.sweep.s).toHaveLength(flat.length)
    flat.forEach((value, i) => {
      expect(read.sweep.s[i]).toBeCloseTo(value, 12)
    })
    expect(read.noise.map((n) => n.fHz)).toEqual((noise ?? []).map(([f]) => f))
    expect(read.notes).toHaveLength(notes ?? 0)
    expect(read.information).toEqual(information ?? [])
  })

  test('a version 2 file without its end is taken where its numbers agree, and it is said', () => {
    const whole = new TextDecoder().decode(bytesOf('v2-s.s2p'))
    const { sweep, notes } = readTouchstone('v2-s.s2p', bytes(whole.replace('[End]', '')))
    expect(sweep.fHz).toHaveLength(3)
    expect(notes).toEqual(['[End] is missing; the file is whole by its number of frequencies.'])
  })

  test('H and G of one network are one network', () => {
    // published pair: H of the specification's example, G of the same network in scikit-rf skrf/io/tests/ts (ex_12, ex_12_g)
    const of = (parameter: string, row: string) =>
      readTouchstone('x.s2p', bytes(`# kHz ${parameter} MA R 1\n2 ${row}\n`)).sweep
    const h = of('H', '.95 -26 3.57 157 .04 76 .66 -14')
    const g = of('G', '1.03818 13.03373 5.61562 4.03729 0.06292 -76.627 1.49435 1.03729')
    // its angle of G12 is printed as -76.627; the inverse of H has -76.963, which is all that is between them
    g.s.forEach((value, i) => {
      expect(Math.abs(value - h.s[i]!)).toBeLessThan(1e-3)
    })
  })

  test('ts.v1.order: S11 S21 S12 S22', () => {
    const { expected } = published('ts.v1.order') as unknown as { expected: Record<string, [number, number]> }
    const { sweep } = readTouchstone('x.s2p', bytes('# GHz S RI R 50\n1.0 1 2 3 4 5 6 7 8\n'))
    expect([...sweep.s]).toEqual([...expected.S11!, ...expected.S12!, ...expected.S21!, ...expected.S22!])
  })

  test('ts.v1.znorm: impedances of version 1 are divided by R', () => {
    const { inputs, expected, tolerance } = published('ts.v1.znorm') as unknown as {
      inputs: { norm: number; R: number }
      expected: number
      tolerance: number
    }
    const { sweep } = readTouchstone('x.s1p', bytes(`# MHz Z MA R ${inputs.R}\n100 ${inputs.norm} 0\n`))
    const ohms = (inputs.R * (1 + sweep.s[0]!)) / (1 - sweep.s[0]!)
    expect(Math.abs(ohms - expected)).toBeLessThan(Math.max(tolerance, 1e-9))
  })

  test('ts.noise.rn: resistance of version 1 is divided by R, of version 2 not', () => {
    const { expected } = published('ts.noise.rn') as unknown as { expected: number[] }
    for (const file of ['v1-noise.s2p', 'v2-noise.ts'])
      readTouchstone(file, bytesOf(file)).noise.forEach(({ rnOhm }, i) => {
        expect(rnOhm).toBeCloseTo(expected[i]!, 9)
      })
  })

  test('ts.default-option: an empty option line', () => {
    const { expected } = published('ts.default-option') as unknown as {
      expected: { unit: string; param: string; format: string; R: number }
    }
    const { option } = readTouchstone('x.s1p', bytes('#\n1 0.5 0\n'))
    expect(option).toEqual({
      unit: expected.unit,
      parameter: expected.param,
      format: expected.format,
      referenceOhm: expected.R,
    })
  })
})

describe('round trip', () => {
  const twoPort = readTouchstone('v1-s-ri.s2p', bytesOf('v1-s-ri.s2p')).sweep
  const onePort = readTouchstone('v1-s-ri.s1p', bytesOf('v1-s-ri.s1p')).sweep
  const units = Object.keys(HZ_PER_UNIT) as (keyof typeof HZ_PER_UNIT)[]
  const forms = units.flatMap((unit) =>
    (['RI', 'MA', 'DB'] as const).flatMap((format) =>
      (['1', '2.0'] as const).map((version) => ({
        unit,
        format,
        version,
        comments: ['ours\n# not an option'],
      })),
    ),
  )

  test.each(forms)('$version $unit $format', (form) => {
    for (const sweep of [twoPort, onePort]) {
      const again = readTouchstone(`x.s${sweep.ports}p`, bytes(touchstoneText(sweep, form))).sweep
      expect(again.zRefOhm).toEqual(sweep.zRefOhm)
      sweep.s.forEach((value, i) => {
        expect(again.s[i]).toBeCloseTo(value, 13)
      })
      sweep.fHz.forEach((value, i) => {
        expect(again.fHz[i]! / value).toBeCloseTo(1, 13)
      })
    }
  })

  test('unequal impedances need version 2', () => {
    const sweep = { ...twoPort, zRefOhm: [50, 75] }
    const form = { unit: 'MHz' as const, format: 'RI' as const, comments: [] }
    const text = touchstoneText(sweep, { ...form, version: '2.0' })
    expect(readTouchstone('x.s2p', bytes(text)).sweep.zRefOhm).toEqual([50, 75])
    expect(() => touchstoneText(sweep, { ...form, version: '1' })).toThrow()
  })
})

describe('malformed files are refused with the line', () => {
  test('there are more than sixty', () => {
    expect(MALFORMED.length).toBeGreaterThan(60)
  })

  test.each(MALFORMED)('$name', ({ file, content, line, says }) => {
    const data = typeof content === 'string' ? bytes(content) : content
    let message = 'it was taken'
    try {
      readTouchstone(file, data)
    } catch (error) {
      expect(error).toBeInstanceOf(LastmetreError)
      message = (error as LastmetreError).message
    }
    expect(message).toMatch(says)
    expect(message.startsWith(line === null ? `${file}: ` : `${file} line ${line}: `), message).toBe(true)
  })
})
