/**
 * Serial of a piece: two digits of the year, a running number of six digits (more where a year needs more) and a check
 * digit over both, written 31-000123-7. The running number counts from 1 in each year without a gap.
 */

const SERIAL = /^(\d{2})-(\d{6,9})-(\d)$/

/** `year`: two digits; `running` from 1. */
export function serialOf(year: string, running: number): string {
  const digits = String(running).padStart(6, '0')
  return `${year}-${digits}-${checkDigit(year + digits)}`
}

/** Null where the text is no serial, or one whose check digit does not fit. */
export function readSerial(text: string): { year: string; running: number } | null {
  const [, year, digits, check] = SERIAL.exec(text) ?? []
  if (year === undefined || digits === undefined || check === undefined) return null
  return checkDigit(year + digits) === check ? { year, running: Number(digits) } : null
}

/** Key of HeadRow.given that counts the serials of a year of two digits. */
export function serialsOfYear(year: string): string {
  return `serial ${year}`
}

/** "F-000012": numbers of all else that the ledger numbers. */
export function numbered(prefix: string, running: number): string {
  return `${prefix}-${String(running).padStart(6, '0')}`
}

/** The running number of such a name; null where it is not one of them. */
export function runningNumber(prefix: string, name: string): number | null {
  const digits = name.startsWith(`${prefix}-`) ? name.slice(prefix.length + 1) : ''
  return /^\d{6,9}$/.test(digits) ? Number(digits) : null
}

/**
 * Check digit by the formula of Luhn, "modulus 10 double-add-double": ISO/IEC 7812-1 annex B. From the right, every
 * second digit from the first on is doubled and the digits of the product are added; what is missing to the next ten.
 * It finds every single wrong digit and every swap of neighbours but 09 with 90.
 */
export function checkDigit(digits: string): string {
  let sum = 0
  for (let i = digits.length - 1, doubled = true; i >= 0; i--, doubled = !doubled) {
    const value = Number(digits[i]) * (doubled ? 2 : 1)
    sum += value > 9 ? value - 9 : value
  }
  return String((10 - (sum % 10)) % 10)
}
