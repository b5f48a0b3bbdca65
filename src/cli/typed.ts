import { InvalidArgumentError } from 'commander'
import { typedFrequencyMhz } from '../quantity/typed-frequency.ts'
import { typedLength } from '../quantity/typed-length.ts'

/** What is typed after an option, read or refused with what is wrong. */

export function lengthOption(text: string): number {
  const read = typedLength(text)
  if ('wrong' in read) throw new InvalidArgumentError(read.wrong)
  return read.lengthUm / 1e6
}

export function frequencyOption(text: string): number {
  const read = typedFrequencyMhz(text)
  if ('wrong' in read) throw new InvalidArgumentError(read.wrong)
  return read.fMhz
}

/** A number with its unit or without it, such as 21, 21C or 0.05dB. */
export function numberOption(unit: string, least: number, most: number): (text: string) => number {
  return (text) => {
    const match = /^(-?\d{1,9}(?:\.\d{1,9})?)\s*([a-z°%]*)$/i.exec(text.trim())
    const fits = match !== null && ['', unit.toLowerCase()].includes((match[2] ?? '').toLowerCase())
    const value = Number(match?.[1])
    if (!fits || !(value >= least && value <= most))
      throw new InvalidArgumentError(
        `Give a number from ${least} to ${most}${unit === '' ? '' : ` ${unit}`}.`,
      )
    return value
  }
}

/** A number without a unit. */
export function between(least: number, most: number): (text: string) => number {
  return (text) => {
    const value = Number(text)
    if (text.trim() === '' || !(value >= least && value <= most))
      throw new InvalidArgumentError(`Give a number from ${least} to ${most}.`)
    return value
  }
}

export function wholeNumber(text: string): number {
  if (!/^\d{1,10}$/.test(text) || Number(text) > 2_147_483_647)
    throw new InvalidArgumentError('Give a whole number from 0 to 2147483647.')
  return Number(text)
}

export function port(text: string): number {
  if (!/^\d{1,5}$/.test(text) || Number(text) > 65_535)
    throw new InvalidArgumentError('Give a port from 0 to 65535; 0 takes any free one.')
  return Number(text)
}
