import { randomUUID } from 'node:crypto'

/** Previews that wait for their press; older ones are forgotten. */
const MAX_WAITING = 8

/** What was shown and is stored only once that is asked for, by the token that was answered with it. */
export class WaitingPreviews<Preview> {
  readonly #waiting = new Map<string, Preview>()

  /** Answers its token. */
  keep(preview: Preview): string {
    const token = randomUUID()
    this.#waiting.set(token, preview)
    for (const oldest of [...this.#waiting.keys()].slice(0, -MAX_WAITING)) this.#waiting.delete(oldest)
    return token
  }

  find(token: string): Preview | undefined {
    return this.#waiting.get(token)
  }

  forget(token: string): void {
    this.#waiting.delete(token)
  }
}
