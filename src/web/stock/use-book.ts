import { useRef, useState } from 'react'
import type { CommandBody } from '../../ledger/command.ts'
import type { CommandsAnswer, CommandsRequest } from '../../works/floor-api.ts'
import { postJson, Refused } from '../api.ts'

/** How booking from a desk stands: what was booked last, in words, or why not. */
export interface Booking {
  busy: boolean
  error: Error | null
  done: string | null
}

const NOTHING: Booking = { busy: false, error: null, done: null }

/**
 * Books at once, from a desk with the network. A press that was not answered is sent again under the same keys, so that nothing
 * is booked twice; of several records the first that is refused is said, those before it are booked.
 */
export function useBook(onBooked: () => Promise<void>) {
  const [booking, setBooking] = useState<Booking>(NOTHING)
  const sent = useRef<{ text: string; keys: string[] } | null>(null)

  /** Answers whether all was booked. */
  async function book(bodies: readonly CommandBody[], done: string): Promise<boolean> {
    setBooking({ busy: true, error: null, done: null })
    const text = JSON.stringify(bodies)
    if (sent.current?.text !== text)
      sent.current = {
        text,
        keys: bodies.map(() => `desk-${crypto.getRandomValues(new Uint32Array(4)).join('')}`),
      }
    try {
      const { outcomes } = await postJson<CommandsAnswer>(
        '/api/ledger/commands',
        request(bodies, sent.current.keys),
      )
      sent.current = null
      await onBooked()
      const refused = outcomes.find((o) => 'refused' in o)
      const error = refused && 'refused' in refused ? new Refused(refused.refused) : null
      setBooking({ busy: false, error, done: error ? null : done })
      return error === null
    } catch (failure) {
      setBooking({ busy: false, error: failure as Error, done: null })
      return false
    }
  }
  return { ...booking, book }
}

function request(bodies: readonly CommandBody[], keys: readonly string[]): CommandsRequest {
  const at = new Date().toISOString()
  return {
    late: false,
    commands: bodies.map((body, i) => ({
      ...{ key: keys[i] ?? '', at, station: 'DESK', planId: null, corrects: null, body },
    })),
  }
}
