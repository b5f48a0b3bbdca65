import { type LengthUm, UM_PER_M } from '../quantity/length.ts'
import { eurFromMicro, type MicroEur } from '../quantity/money.ts'

/** Thousands are parted from five figures on: 1237.7 m cannot be misread where 1,237.7 m can. */
const useGrouping = 'min2'
const euro = new Intl.NumberFormat('en-GB', { style: 'currency', currency: 'EUR', useGrouping })
const whole = new Intl.NumberFormat('en-GB', { useGrouping })
const tenths = new Intl.NumberFormat('en-GB', { maximumFractionDigits: 1, useGrouping })
const hundredths = new Intl.NumberFormat('en-GB', { maximumFractionDigits: 2, useGrouping })
const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec']

/** Euro with cents, and the sign of the printers' trade for minus. */
export function eur(amountEur: number): string {
  return euro.format(Object.is(amountEur, -0) ? 0 : amountEur).replace('-', '−')
}

export function eurOfMicro(micro: MicroEur): string {
  return eur(eurFromMicro(micro))
}

export function count(n: number): string {
  return whole.format(n)
}

/** "1 order line", "2 order lines". */
export function many(n: number, one: string, more = `${one}s`): string {
  return `${count(n)} ${n === 1 ? one : more}`
}

/** A length that is there: to the tenth of a metre below, so that it never overstates. */
export function supplyM(lengthUm: LengthUm): string {
  return `${tenths.format(Math.floor(lengthUm / 100_000) / 10)} m`
}

/** A place on a drum, to the tenth of a metre. */
export function placeM(placeUm: LengthUm): string {
  return tenths.format(Math.round(placeUm / 100_000) / 10)
}

/** A length as it was ordered or will be declared, to the centimetre; leads are short, so in millimetres below one metre. */
export function lengthM(lengthUm: LengthUm): string {
  if (lengthUm < UM_PER_M) return `${tenths.format(lengthUm / 1000)} mm`
  return `${hundredths.format(lengthUm / UM_PER_M)} m`
}

export function percent(ratio: number): string {
  return `${new Intl.NumberFormat('en-GB', { maximumSignificantDigits: 2 }).format(ratio * 100)} %`
}

export function secondsOf(ms: number): string {
  return `${tenths.format(Math.round(ms / 100) / 10)} s`
}

/** 2031-03-12 as 12 Mar 2031. By hand: a Date would move it by the time zone. */
export function day(isoDate: string): string {
  const match = /^(\d{4})-(\d{2})-(\d{2})/.exec(isoDate)
  const month = match ? MONTHS[Number(match[2]) - 1] : undefined
  return match && month ? `${Number(match[3])} ${month} ${match[1]}` : isoDate
}

/** Dates inside a text that the server made, as every other date of the screens: "since 2031-03-12" as "since 12 Mar 2031". */
export function daysIn(text: string): string {
  return text.replace(/\b\d{4}-\d{2}-\d{2}\b/g, (date) => day(date).replaceAll(' ', '\u00a0'))
}
