import { describe, expect, test } from 'vitest'
import { readAnalyserCsv } from '../../src/lead/analyser-csv.ts'
import { readMeasurement } from '../../src/lead/measurement.ts'
import { hasParameter } from '../../src/lead/sweep.ts'
import { LastmetreError } from '../../src/quantity/errors.ts'

const read = (...lines: string[]) =>
  readAnalyserCsv('x.csv', new TextEncoder().encode(lines.join('\r\n')), 50)
const db = (value: number) => 10 ** (value / 20)

describe('CSV of a network analyser', () => {
  test.each([
    [
      'dB and degree, with remarks around the table',
      [
        '!remarks, of any, kind',
        '#more',
        'BEGIN CH1_DATA',
        'Freq(Hz),S11(DB),S11(DEG),S21(DB),S21(DEG)',
        '1e6,-20,90,-1,-45',
        '2e6,-20,90,-1,-90',
        'END',
      ],
    ],
    [
      'real and imaginary, named by trace',
      [
        'freq[Hz],re:Trc1_S11,im:Trc1_S11,re:Trc2_S21,im:Trc2_S21',
        `1e6,0,0.1,${db(-1) * Math.SQRT1_2},${-db(-1) * Math.SQRT1_2}`,
        `2e6,0,0.1,0,${-db(-1)}`,
      ],
    ],
    [
      'semicolons, decimal commas, MHz and magnitudes',
      [
        'Frequency (MHz);S11 Mag;S11 Phase (deg);S21 Mag;S21 Phase (deg)',
        `1;0,1;90;${String(db(-1)).replace('.', ',')};-45`,
        `2,0;0,1;90;${String(db(-1)).replace('.', ',')};-90`,
      ],
    ],
    [
      'tabs, quotes and a column that is not used',
      [
        '"Frequency GHz"\t"S11 Log Mag(dB)"\t"S11 angle"\t"S21 dB"\t"S21 ang"\t"temp"',
        '0.001\t-20\t90\t-1\t-45\t21',
        '0.002\t-20\t90\t-1\t-90\t21',
      ],
    ],
  ])('%s', (_, lines) => {
    const { sweep, hasPhase, notes } = read(...lines)
    expect(hasPhase).toBe(true)
    expect([...sweep.fHz]).toEqual([1e6, 2e6])
    expect(sweep.s[0]).toBeCloseTo(0, 12)
    expect(sweep.s[1]).toBeCloseTo(0.1, 12)
    expect(sweep.s[4]).toBeCloseTo(db(-1) * Math.SQRT1_2, 12)
    expect(sweep.s[8 + 5]).toBeCloseTo(-db(-1), 12)
    expect(hasParameter(sweep, 'S21')).toBe(true)
    expect(hasParameter(sweep, 'S22')).toBe(false)
    expect(notes.at(-1)).toContain('50 ohm')
  })

  test('sizes alone have no phase, S11 alone is a one-port', () => {
    const { sweep, hasPhase } = read('Freq(Hz),S11(DB)', '1e6,-20', '2e6,-21')
    expect(hasPhase).toBe(false)
    expect(sweep.ports).toBe(1)
    expect(sweep.s[2]).toBeCloseTo(db(-21), 12)
  })

  test.each([
    ['no headings', ['1,2,3'], /no row of headings/],
    ['one heading', ['Frequency', '1'], /line 1: .*only one cell/],
    ['nothing known', ['Freq(Hz),colour,taste', '1,2,3'], /line 1: no column holds/],
    ['an angle alone', ['Freq(Hz),S11(DEG)', '1,2'], /line 1: no column holds/],
    ['a heading twice', ['Freq(Hz),S11(DB),S11 dB', '1,2,3'], /line 1: S11 db stands in two/],
    ['no data', ['!x', 'Freq(Hz),S11(DB)'], /line 2: there are no data/],
    ['a cell short', ['Freq(Hz),S11(DB),S11(DEG)', '1,2'], /line 2: 2 cells under 3/],
    ['a word', ['Freq(Hz),S11(DB)', '1,-20', '2,=1+1'], /line 3: "=1\+1" is not a number/],
    ['NaN', ['Freq(Hz),S11(DB)', '1,NaN'], /line 2: "NaN" is no number/],
    [
      'falling frequency',
      ['Freq(Hz),S11(DB)', '', '2,-20', '!', '1,-20'],
      /line 5: the frequency does not rise/,
    ],
    ['frequency below 0', ['Freq(Hz),S11(DB)', '-1,-20'], /line 2: a frequency is below 0/],
  ])('%s is refused with its line', (_, lines, says) => {
    expect(() => read(...lines)).toThrow(LastmetreError)
    expect(() => read(...lines)).toThrow(says)
  })
})

describe('reading by the ending of the name', () => {
  const bytes = new TextEncoder().encode('# MHz S RI R 50\n1 0.1 0 0.9 0 0.9 0 0.1 0\n1 1 1 1 1\n')

  test('Touchstone, with the noise passed over and the path left out of the name', () => {
    const { file, format, sweep, notes } = readMeasurement('../some/where/a.S2P', bytes, 75)
    expect({ file, format, ohm: sweep.zRefOhm }).toEqual({
      file: 'a.S2P',
      format: 'Touchstone 1',
      ohm: [50, 50],
    })
    expect(notes).toEqual(['1 lines of noise data are passed over.'])
  })

  test.each(['a.txt', 'a', 'a.s2p.exe', 'a.pdf', '<b>.html'])('%s is refused', (name) => {
    expect(() => readMeasurement(name, bytes, 50)).toThrow(/none of \.s1p/)
  })
})
