import type { LabelDoubt } from '../../works/floor-api.ts'
import { postJson } from '../api.ts'

export function labelPath(serial: string): string {
  return `/api/labels/${encodeURIComponent(serial)}`
}

/**
 * Has the label of a piece printed again where the piece was made, and booked once it is printed; answers the printer. Throws as
 * `ask` does, 'not-found' where that place has no printer.
 */
export async function printLabelAgain(serial: string, reason: string): Promise<string> {
  const { printer } = await postJson<{ printer: string }>(labelPath(serial), { reason })
  return printer
}

/** Says what became of a label that may have been printed; answers what follows, as a sentence. Throws as `ask` does, 'not-found' where it was answered. */
export async function answerLabelDoubt(
  { key, serial }: LabelDoubt,
  answer: 'it is there' | 'print again',
): Promise<string> {
  const path = `/api/label-doubts/${encodeURIComponent(key)}`
  const { printer } = await postJson<{ printer: string }>(path, { answer })
  return answer === 'it is there'
    ? `The label of ${serial} is noted as printed.`
    : `The label of ${serial} prints again on ${printer}.`
}
