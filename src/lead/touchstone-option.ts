import { numberAt, refuse, shown } from './measured-text.ts'

/** The option line of a Touchstone file. */
export interface TouchstoneOption {
  unit: 'Hz' | 'kHz' | 'MHz' | 'GHz'
  parameter: 'S' | 'Y' | 'Z' | 'H' | 'G'
  /** DB: decibel and degree; MA: magnitude and degree; RI: real and imaginary. */
  format: 'DB' | 'MA' | 'RI'
  referenceOhm: number
}

/** What an empty option line means: GHz S MA R 50 (Touchstone specification, option line). */
const DEFAULT: TouchstoneOption = { unit: 'GHz', parameter: 'S', format: 'MA', referenceOhm: 50 }

export const HZ_PER_UNIT = { Hz: 1, kHz: 1e3, MHz: 1e6, GHz: 1e9 } as const

const UNITS = new Map(Object.keys(HZ_PER_UNIT).map((unit) => [unit.toUpperCase(), unit]))
const PARAMETERS = new Set(['S', 'Y', 'Z', 'H', 'G'])
const FORMATS = new Set(['DB', 'MA', 'RI'])

/** Reads `# GHz S MA R 50`: words in any order and case, each at most once. */
export function readOption(file: string, line: number, text: string): TouchstoneOption {
  const option: TouchstoneOption = { ...DEFAULT }
  const given = new Set<string>()
  const once = (what: string) => {
    if (given.has(what)) refuse(file, line, `the option line gives the ${what} twice.`)
    given.add(what)
  }
  const words = text.replace(/^\s*#/, '').trim().split(/\s+/).filter(Boolean)
  for (let i = 0; i < words.length; i++) {
    const word = words[i]!.toUpperCase()
    const unit = UNITS.get(word)
    if (unit) {
      once('unit')
      option.unit = unit as TouchstoneOption['unit']
    } else if (PARAMETERS.has(word)) {
      once('parameter')
      option.parameter = word as TouchstoneOption['parameter']
    } else if (FORMATS.has(word)) {
      once('format')
      option.format = word as TouchstoneOption['format']
    } else if (word === 'R') {
      once('reference')
      const figure = words[++i]
      if (figure === undefined) refuse(file, line, 'R of the option line has no ohms behind it.')
      option.referenceOhm = numberAt(file, line, figure)
      if (!(option.referenceOhm > 0)) refuse(file, line, 'the reference impedance must be above 0 ohm.')
    } else refuse(file, line, `${shown(words[i]!)} of the option line is not known.`)
  }
  return option
}
