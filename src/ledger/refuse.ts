import { LastmetreError } from '../quantity/errors.ts'
import { lengthText } from '../quantity/length-text.ts'

/** A command that the hall as it is now cannot take. `message`: a sentence that says what is so. */
export function refused(message: string): LastmetreError {
  return new LastmetreError('command-refused', message)
}

/** "12.4 m", for refusals. */
export function metres(lengthUm: number): string {
  return lengthText(lengthUm, 'm')
}
