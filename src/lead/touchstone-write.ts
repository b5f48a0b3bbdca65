import { type Sweep, widthOf } from './sweep.ts'
import { HZ_PER_UNIT, type TouchstoneOption } from './touchstone-option.ts'
import { ORDER } from './touchstone-row.ts'

/** How a sweep is to be written; the parameters are always S. */
export interface TouchstoneForm {
  version: '1' | '2.0'
  unit: TouchstoneOption['unit']
  format: TouchstoneOption['format']
  comments: string[]
}

/** A sweep as Touchstone text. Numbers carry all digits, so that reading it again gives the same sweep. */
export function touchstoneText(sweep: Sweep, form: TouchstoneForm): string {
  const { version, unit, format } = form
  const unequal = sweep.zRefOhm.some((z) => z !== sweep.zRefOhm[0])
  if (unequal && version === '1') throw new Error('version 1 has one reference impedance for all ports')
  const lines = form.comments.map((text) => `! ${text.replace(/[\r\n]+/g, ' ')}`)
  if (version === '2.0') lines.push('[Version] 2.0')
  lines.push(`# ${unit} S ${format} R ${sweep.zRefOhm[0]}`)
  if (version === '2.0') lines.push(...keywordLines(sweep, unequal))
  const order = sweep.ports === 1 ? ORDER.onePort : ORDER['21_12']
  const width = widthOf(sweep)
  sweep.fHz.forEach((fHz, i) => {
    const numbers: number[] = [fHz / HZ_PER_UNIT[unit]]
    for (const element of order)
      numbers.push(
        ...written(format, sweep.s[i * width + 2 * element]!, sweep.s[i * width + 2 * element + 1]!),
      )
    lines.push(numbers.join(' '))
  })
  if (version === '2.0') lines.push('[End]')
  return `${lines.join('\r\n')}\r\n`
}

function keywordLines(sweep: Sweep, unequal: boolean): string[] {
  const lines = [`[Number of Ports] ${sweep.ports}`]
  if (sweep.ports === 2) lines.push('[Two-Port Data Order] 21_12')
  lines.push(`[Number of Frequencies] ${sweep.fHz.length}`)
  if (unequal) lines.push(`[Reference] ${sweep.zRefOhm.join(' ')}`)
  return [...lines, '[Network Data]']
}

function written(format: TouchstoneOption['format'], re: number, im: number): [number, number] {
  if (format === 'RI') return [re, im]
  const size = Math.hypot(re, im)
  const degrees = (Math.atan2(im, re) * 180) / Math.PI
  // nothing at all has no logarithm; −400 dB is far below any receiver
  return [format === 'DB' ? (size > 0 ? 20 * Math.log10(size) : -400) : size, degrees]
}
