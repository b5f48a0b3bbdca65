import { setTimeout as wait } from 'node:timers/promises'
import { type ModbusSignal, registersOf } from '../works/more-signals.ts'
import { backoffMs } from './backoff.ts'
import { type RegisterBlock, registerBlocks } from './register-blocks.ts'
import { RegisterClient } from './register-client.ts'
import { valueOfRegisters } from './register-value.ts'
import type { SignalNews, SignalReader } from './signal-news.ts'

/**
 * Reads the registers of one device of one line again and again, and connects again when it is lost. All signals must name
 * the same device. `now`: our clock, ms since 1970.
 */
export function readModbus(
  signals: readonly ModbusSignal[],
  tell: (news: SignalNews) => void,
  now: () => number,
): SignalReader {
  const abort = new AbortController()
  const running = run(signals, tell, now, abort.signal)
  return {
    async stop() {
      abort.abort()
      await running
    },
  }
}

async function run(
  signals: readonly ModbusSignal[],
  tell: (news: SignalNews) => void,
  now: () => number,
  signal: AbortSignal,
): Promise<void> {
  const { line, host, port, unitId } = signals[0]!
  const device = `${host}:${port} unit ${unitId}`
  const blocks = registerBlocks(signals)
  for (let tries = 0; !signal.aborted; tries++) {
    let client: RegisterClient | null = null
    try {
      client = await RegisterClient.open({ host, port, unitId }, signal)
      tell({ kind: 'connected', line, device, atMs: now() })
      for (;;) {
        const begun = now()
        await poll(client, device, blocks, tell, now)
        tries = 0
        await paused(Math.max(0, begun + signals[0]!.pollMs - now()), signal)
        if (signal.aborted) break
      }
    } catch (error) {
      if (!signal.aborted) tell({ kind: 'disconnected', line, device, atMs: now(), why: shortly(error) })
    }
    client?.close()
    await paused(backoffMs(tries), signal)
  }
}

async function poll(
  client: RegisterClient,
  device: string,
  blocks: readonly RegisterBlock[],
  tell: (news: SignalNews) => void,
  now: () => number,
): Promise<void> {
  for (const block of blocks) {
    const asked = now()
    const answer = await client.read(block)
    const arrivalMs = (asked + now()) / 2
    for (const mapping of block.signals) {
      const { line, quantity } = mapping
      const wrong = (why: string) =>
        tell({ kind: 'unreadable', line, device, quantity, atMs: arrivalMs, why })
      if ('refused' in answer) {
        wrong(answer.refused)
        continue
      }
      const from = 2 * (mapping.register - block.start)
      const value = valueOfRegisters(
        answer.bytes.subarray(from, from + 2 * registersOf(mapping.type)),
        mapping,
      )
      if (value === null) wrong('holds no number')
      else
        tell({
          kind: 'sample',
          sample: { line, device, quantity, value, sourceMs: null, arrivalMs, retained: false },
        })
    }
  }
}

async function paused(ms: number, signal: AbortSignal): Promise<void> {
  try {
    await wait(ms, undefined, { signal })
  } catch {
    // aborted: whoever waits looks at the signal
  }
}

function shortly(error: unknown): string {
  const { code, message } = error as NodeJS.ErrnoException
  if (code === 'ECONNREFUSED') return 'nobody answers at this address'
  return (message || code || 'the connection was lost').slice(0, 120)
}
