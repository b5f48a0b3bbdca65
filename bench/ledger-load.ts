import { type ChildProcess, spawn } from 'node:child_process'
import { join } from 'node:path'
import type { Command, CommandBody } from '../src/ledger/command.ts'
import type { PlanInput } from '../src/plan/plan-input.ts'
import type { CommandsAnswer, EventsAnswer } from '../src/works/floor-api.ts'

export interface Load {
  stations: number
  /** Events a second of each station. */
  rate: number
  seconds: number
}

export interface LoadResult {
  sent: number
  acknowledged: number
  refused: number
  /** From the moment an event was due to be sent to its answer, ms, sorted. */
  latenciesMs: number[]
  lost: number
  gaps: number
  verified: boolean
  planned: string
}

const MAIN = join('dist', 'cli', 'main.js')

/**
 * Stations that book at a fixed rate over HTTP while the server plans. A station whose answer is late sends its next event
 * all the same, as stations do not wait for each other's.
 */
export async function loadServer(works: PlanInput, data: string, load: Load): Promise<LoadResult> {
  const server = spawn(process.execPath, [MAIN, 'serve', '--port', '0', '--data', data], {
    stdio: ['ignore', 'pipe', 'inherit'],
  })
  try {
    const url = await addressOf(server)
    const post = async (path: string, body: object) => {
      const headers = { 'content-type': 'application/json' }
      const answer = await fetch(`${url}${path}`, { method: 'POST', headers, body: JSON.stringify(body) })
      return (await answer.json()) as unknown
    }
    const book = async (command: Command) =>
      (await post('api/ledger/commands', { commands: [command], late: false })) as CommandsAnswer
    const stations = Array.from({ length: load.stations }, (_, n) => new Station(works, n))
    for (const station of stations) for (const command of station.begin()) await book(command)
    await post('api/plan', { seconds: load.seconds + 5 })
    const result = { sent: 0, acknowledged: 0, refused: 0, latenciesMs: [] as number[] }
    const kept = new Set<string>()
    const send = async (command: Command, dueMs: number) => {
      result.sent += 1
      const answer = await book(command)
      const outcome = answer.outcomes?.[0]
      result.latenciesMs.push(performance.now() - dueMs)
      if (outcome !== undefined && 'event' in outcome) {
        result.acknowledged += 1
        kept.add(command.key)
      } else result.refused += 1
    }
    const startMs = performance.now()
    await Promise.all(
      stations.map(async (station, n) => {
        const gapMs = 1_000 / load.rate
        const sends: Promise<void>[] = []
        for (let i = 0; i < load.rate * load.seconds; i++) {
          const dueMs = startMs + (i + n / load.stations) * gapMs
          await new Promise((resolve) => setTimeout(resolve, Math.max(0, dueMs - performance.now())))
          sends.push(send(station.next(), dueMs))
        }
        await Promise.all(sends)
      }),
    )
    const progress = (await (await fetch(`${url}api/plan/progress`)).json()) as {
      state: string
      phase: string
    }
    const { lost, gaps } = await compare(url, kept)
    const verified = await verify(data)
    result.latenciesMs.sort((a, b) => a - b)
    return { ...result, lost, gaps, verified, planned: `${progress.state}, ${progress.phase}` }
  } finally {
    server.kill('SIGTERM')
    await new Promise((resolve) => server.once('close', resolve))
  }
}

/** One station: at a line it cuts its own drum, elsewhere it moves drums, weighs and checks. */
class Station {
  readonly #works: PlanInput
  readonly #n: number
  readonly #drum: string
  readonly #line: string | null
  #count = 0

  constructor(works: PlanInput, n: number) {
    this.#works = works
    this.#n = n
    this.#line = works.site.lines[n]?.id ?? null
    const drums = works.drums.filter(({ status }) => status === 'free').sort((a, b) => b.bookUm - a.bookUm)
    this.#drum = drums[n % drums.length]!.drum
  }

  begin(): Command[] {
    if (this.#line === null) return []
    return [this.#command({ kind: 'mount-drum', drum: this.#drum, line: this.#line, mounting: null })]
  }

  next(): Command {
    const line = this.#line
    const drum = this.#drum
    if (line !== null) return this.#command(this.#cut(line))
    if (this.#count % 3 === 0) return this.#command({ kind: 'weigh-drum', drum, grossKg: 300, tareKg: 100 })
    if (this.#count % 3 === 1) {
      const subject = this.#works.site.lines[0]!.id
      return this.#command({
        kind: 'record-check',
        what: 'tape',
        subject,
        passed: true,
        figures: [],
        note: null,
      })
    }
    return this.#command({ kind: 'move-drum', drum, place: `P${this.#count}` })
  }

  #cut(line: string): CommandBody {
    const piece = { order: null, orderLine: null, piece: null, part: null, count: 1, putup: null }
    const read = { counterM: 0.5, markOuter: null, markInner: null, inspection: 'as shown' }
    const pieces = [{ ...piece, ...read, measuredUm: 500_000, uncUm: 500, trimUm: 0 }]
    return { kind: 'cut-pieces', drum: this.#drum, line, mounting: null, pieces }
  }

  #command(body: CommandBody): Command {
    const key = `s${this.#n}-${this.#count++}`
    return { key, at: new Date().toISOString(), station: `S${this.#n}`, planId: null, corrects: null, body }
  }
}

function addressOf(server: ChildProcess): Promise<string> {
  return new Promise((resolve, reject) => {
    let text = ''
    server.stdout?.on('data', (chunk) => {
      text += chunk
      const found = /(http:\/\/127\.0\.0\.1:\d+\/)/.exec(text)
      if (found?.[1]) resolve(found[1])
    })
    server.once('close', () => reject(new Error(`the server ended: ${text}`)))
  })
}

async function compare(url: string, kept: Set<string>): Promise<{ lost: number; gaps: number }> {
  const found = new Set<string>()
  let gaps = 0
  let after: number | null = 0
  let last = 0
  while (after !== null) {
    const page = (await (await fetch(`${url}api/ledger/events?after=${after}`)).json()) as EventsAnswer
    for (const { seq, key } of page.events) {
      if (seq !== last + 1) gaps += 1
      last = seq
      found.add(key)
    }
    after = page.next
  }
  return { lost: [...kept].filter((key) => !found.has(key)).length, gaps }
}

async function verify(data: string): Promise<boolean> {
  const child = spawn(process.execPath, [MAIN, 'ledger', 'verify', '--data', data], { stdio: 'ignore' })
  return (await new Promise<number | null>((resolve) => child.once('close', resolve))) === 0
}
