import type { MicroEur } from '../quantity/money.ts'
import type { PutupUse } from './long-fillings.ts'
import type { Rests } from './long-rests.ts'
import type { Question } from './long-stretch.ts'
import { bit } from './putup-bits.ts'

/** By way of a stretch: the most that it earns, by the put-up before it and the put-up it ends with, and by units in no piece. */
export interface Earned {
  /** Stopped here, after any put-up, or after one (`way * putups + before`) that goes on. */
  stop: Float64Array
  stopAfter: Float64Array
  /** Passed with no piece in it. */
  through: Float64Array
  /** Passed, by last put-up (`way * putups + last`); and by the one before it too (`(way * putups + before) * putups + last`). */
  pass: Float64Array
  passAfter: Float64Array
}

export const ANY_USE: PutupUse = { putups: 0, only: false }
export const NO_USE: PutupUse = { putups: 0, only: true }

/** Put-ups that a drum pays for, numbered. */
export class PutupUses {
  readonly #putups: number[]

  constructor(putups: number[]) {
    this.#putups = putups
  }

  get count(): number {
    return this.#putups.length
  }

  with(number: number): PutupUse {
    return { putups: bit(this.#putups[number]!), only: false }
  }

  /** It begins with one put-up and ends with another, unless there is only one. */
  between(before: number, last: number): PutupUse {
    return { putups: bit(this.#putups[before]!) | bit(this.#putups[last]!), only: before === last }
  }
}

/** All that is asked of a stretch, and where the answers stand. */
export class Questions {
  readonly asked: Question[] = []
  readonly #earned: Earned
  readonly #ways: number
  readonly #counted: number
  readonly #putups: number
  readonly #middle: boolean

  /** Of so many ways, and units in no piece from 0 to below `counted`; the stretch may be the `first` and the `last` of its drum. */
  constructor(
    ways: number,
    counted: number,
    uses: PutupUses,
    { first, last }: { first: boolean; last: boolean },
  ) {
    const n = uses.count
    const passed = last ? 0 : ways * counted
    const e: Earned = {
      stop: never(ways * counted),
      stopAfter: never(ways * n * counted),
      through: never(passed),
      pass: never(passed * n),
      passAfter: never(passed * n * n),
    }
    this.#earned = e
    this.#ways = ways
    this.#counted = counted
    this.#putups = n
    this.#middle = !first && !last
    const numbers = Array.from({ length: n }, (_, p) => p)
    this.#ask(e.stop, 'stop', ANY_USE)
    // nothing goes on with a put-up from before the first stretch
    if (!first) for (const p of numbers) this.#ask(e.stopAfter, 'stop', uses.with(p), p, n)
    if (last) return
    this.#ask(e.through, 'pass', NO_USE)
    for (const l of numbers) this.#ask(e.pass, 'pass', uses.with(l), l, n)
    if (!this.#middle) return
    for (const p of numbers)
      for (const l of numbers)
        if (l >= p) this.#ask(e.passAfter, 'pass', uses.between(p, l), p * n + l, n * n)
  }

  /** Once they have been answered. */
  earned(changeMicro: MicroEur): Earned {
    const { stopAfter, passAfter } = this.#earned
    if (this.#middle) this.#bothWays()
    // what goes on saves one change
    for (const after of [stopAfter, passAfter])
      for (let i = 0; i < after.length; i++) after[i]! += changeMicro
    return this.#earned
  }

  #ask(out: Float64Array, rest: keyof Rests, use: PutupUse, at = 0, of = 1): void {
    this.asked.push({ use, rest, out, at: at * this.#counted, stride: of * this.#counted })
  }

  /** From one put-up to another is as much as the other way round. */
  #bothWays(): void {
    const n = this.#putups
    for (let w = 0; w < this.#ways; w++)
      for (let p = 0; p < n; p++)
        for (let l = p + 1; l < n; l++) {
          const from = ((w * n + p) * n + l) * this.#counted
          this.#earned.passAfter.copyWithin(((w * n + l) * n + p) * this.#counted, from, from + this.#counted)
        }
  }
}

/** Whether a way, with so many units in no piece (`at`), can be gone on from at all; of `n` put-ups and `counted` units. */
export function canPass({ through, pass }: Earned, at: number, n: number, counted: number): boolean {
  if (through[at]! > Number.NEGATIVE_INFINITY) return true
  const u = at % counted
  for (let l = 0; l < n; l++)
    if (pass[(at - u) * n + l * counted + u]! > Number.NEGATIVE_INFINITY) return true
  return false
}

/** What was earned before a stretch, by last put-up, the last of them all none yet; the most of it, and what is near that. */
export interface EarnedBefore {
  state: Float64Array
  most: number
  lasts: number[]
}

/** Goes on past a stretch in one way, with so many units in no piece (`at`): the most that it comes to, by last put-up, into `to`. */
export function passOn(
  { state, most, lasts }: EarnedBefore,
  { through, pass, passAfter }: Earned,
  at: number,
  counted: number,
  gapMicro: MicroEur,
  to: Float64Array,
): void {
  const n = state.length - 1
  const u = at % counted
  const row = at - u
  for (let l = 0; l < n; l++) {
    let value = Math.max(
      gapMicro + most + pass[row * n + l * counted + u]!,
      gapMicro + state[l]! + through[at]!,
    )
    for (const p of lasts) {
      const after = gapMicro + state[p]! + passAfter[(row * n + p * counted) * n + l * counted + u]!
      if (after > value) value = after
    }
    if (value > to[l]!) to[l] = value
  }
  to[n] = Math.max(to[n]!, gapMicro + state[n]! + through[at]!)
}

function never(size: number): Float64Array {
  return new Float64Array(size).fill(Number.NEGATIVE_INFINITY)
}
