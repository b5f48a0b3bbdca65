import { randomBytes, scrypt, timingSafeEqual } from 'node:crypto'
import { LastmetreError } from '../quantity/errors.ts'

/**
 * N = 2^17, r = 8, p = 1: the first choice for scrypt of the OWASP Password Storage Cheat Sheet. One costs
 * 128 r N = 128 MiB (RFC 7914, section 2) and some tenths of a second, in a thread of its own.
 */
const COST_LOG2 = 17
const BLOCKS = 8
const LANES = 1
const SALT_BYTES = 16
const KEY_BYTES = 32
const MAX_MEMORY_BYTES = 160 * 1024 * 1024
/** Two at a time, so that a queue of sign-ins takes neither all memory nor all threads. */
const AT_A_TIME = 2
const MAX_WAITING = 40
const PIN = /^\d{6,12}$/

/** Hashes PINs and looks at them. `costLog2` is log2 of N. */
export class PinKeeper {
  readonly #costLog2: number
  #running = 0
  readonly #waiting: (() => void)[] = []

  constructor(costLog2 = COST_LOG2) {
    this.#costLog2 = costLog2
  }

  /** A PIN as it is stored, with its salt and cost beside it. */
  async hash(pin: string): Promise<string> {
    const salt = randomBytes(SALT_BYTES)
    const key = await this.#stretch(pin, salt, [this.#costLog2, BLOCKS, LANES])
    return stored(this.#costLog2, salt, key)
  }

  /** Whether it is the PIN; takes as long for no account (`null`) as for one. */
  async isPin(pin: string, hash: string | null): Promise<boolean> {
    const nobody = stored(this.#costLog2, Buffer.alloc(SALT_BYTES), Buffer.alloc(KEY_BYTES))
    const [, cost, blocks, lanes, salt = '', key = ''] = (hash ?? nobody).split('$')
    const parameters: Parameters = [Number(cost), Number(blocks), Number(lanes)]
    const asked = await this.#stretch(pin, Buffer.from(salt, 'base64'), parameters)
    return timingSafeEqual(asked, Buffer.from(key, 'base64')) && hash !== null
  }

  async #stretch(pin: string, salt: Buffer, [costLog2, r, p]: Parameters): Promise<Buffer> {
    await this.#turn()
    try {
      return await new Promise<Buffer>((resolve, reject) => {
        const options = { N: 2 ** costLog2, r, p, maxmem: MAX_MEMORY_BYTES }
        scrypt(pin, salt, KEY_BYTES, options, (error, key) => (error ? reject(error) : resolve(key)))
      })
    } finally {
      const next = this.#waiting.shift()
      if (next) next()
      else this.#running--
    }
  }

  /** Waits for one of the places; whoever ends hands its place on. */
  async #turn(): Promise<void> {
    if (this.#running < AT_A_TIME) {
      this.#running++
      return
    }
    if (this.#waiting.length >= MAX_WAITING) {
      throw new LastmetreError('too-many', 'Too many people sign in at the same moment.')
    }
    await new Promise<void>((resolve) => this.#waiting.push(resolve))
  }
}

type Parameters = [costLog2: number, blocks: number, lanes: number]

function stored(costLog2: number, salt: Buffer, key: Buffer): string {
  return ['scrypt', costLog2, BLOCKS, LANES, salt.toString('base64'), key.toString('base64')].join('$')
}

/** Throws 'figure-refused' with what a PIN has to be. */
export function checkPin(pin: string, account: string): void {
  if (!PIN.test(pin)) throw new LastmetreError('figure-refused', 'A PIN is 6 to 12 digits.')
  const steps = new Set([...pin].slice(1).map((digit, i) => Number(digit) - Number(pin[i])))
  const [step = 0] = steps
  if (steps.size === 1 && Math.abs(step) <= 1) {
    throw new LastmetreError('figure-refused', 'A PIN of equal or running digits is guessed first.')
  }
  if (account.includes(pin)) {
    throw new LastmetreError('figure-refused', 'A PIN that stands on the badge is none.')
  }
}
