import { type ErrorCode, LastmetreError } from '../quantity/errors.ts'
import type { Problem } from '../works/problem.ts'

/** A refusal that lists where the input breaks its contract. */
export class InputRefused extends LastmetreError {
  readonly problems: Problem[]
  readonly more: number
  constructor(code: ErrorCode, message: string, problems: Problem[], more: number) {
    super(code, message)
    this.problems = problems
    this.more = more
  }
}
