import type { MicroEur } from '../quantity/money.ts'
import { type Comparison, savingProven } from './compare-plans.ts'

/** Sentences about the difference of two plans: they say what was compared, and how sure it is. */

export function euro(micro: MicroEur): string {
  return `${(Math.round(micro / 10_000) / 100).toFixed(2)} EUR`
}

/** What a change brings or costs. */
export function differenceText(c: Comparison, money = euro): string {
  const serves =
    c.servesMoreMicro === 0
      ? ''
      : c.servesMoreMicro > 0
        ? `serves ${money(c.servesMoreMicro)} more, weighted by due date, and `
        : `serves ${money(-c.servesMoreMicro)} less, weighted by due date, and `
  if (Math.abs(c.savesMicro) < 5_000) return `${serves}costs the same`
  return c.savesMicro > 0
    ? `${serves}costs ${money(c.savesMicro)} less`
    : `${serves}costs ${money(-c.savesMicro)} more`
}

/** How sure a difference is, by the gaps of both plans. */
export function surenessText(c: Comparison, money = euro): string {
  const gap = (micro: MicroEur | null) =>
    micro === null ? 'an amount that is not proven' : `at most ${money(micro)}`
  const gaps = `This is the difference of two plans, which for this cable could be better by ${gap(c.before.gapMicro)} and by ${gap(c.after.gapMicro)}`
  if (c.servesMoreMicro !== 0) return `${gaps}.`
  if (savingProven(c) && c.savesBetweenMicro) {
    const { least, most } = c.savesBetweenMicro
    const [low, high] = c.savesMicro >= 0 ? [least, most] : [-most, -least]
    return `${gaps}: between the best plans there are it lies from ${money(low)} to ${money(high)}.`
  }
  return `${gaps}, so that it is not proven.`
}
