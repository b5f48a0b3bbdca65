import type { WorksSite } from '../hall/works-site.ts'
import { counterCorrection } from '../measure/counter-correction.ts'
import type { BrokerAccess } from '../signals/broker-access.ts'
import { LineWatch } from '../signals/line-watch.ts'
import { type LineWatchSetup, QUANTITY_WORDS, type WatchFinding } from '../signals/line-watch-setup.ts'
import { openReaders } from '../signals/open-readers.ts'
import type { SignalNews, SignalReader } from '../signals/signal-news.ts'
import { WaitingNews } from '../signals/waiting-news.ts'
import type { LineSignals } from '../works/floor-api.ts'
import type { SignalMapping } from '../works/more-signals.ts'
import type { Works } from '../works/works.ts'

/** Notices that a line keeps, the newest. */
const MAX_NOTICES = 50
/** The same odd thing again is not told anew within this, ms. */
const AGAIN_MS = 60_000

/** What a line shows, without its sparks. */
type Shown = Omit<LineSignals, 'sparks'>

/** Older notices are of no use to who stands at the line, ms. */
const SHOWN_FOR_MS = 900_000

/** One line that is listened to: its readers, its watch, and what it shows. */
export class SignalLine {
  readonly line: string
  readonly watch: LineWatch
  readonly #news = new WaitingNews()
  readonly #readers: SignalReader[]
  /** Connections by device: null while it holds, else why it does not. */
  readonly #lost = new Map<string, string | null>()
  readonly #now: () => number
  #notices: { code: string; ms: number; text: string }[] = []

  constructor(
    setup: LineWatchSetup,
    signals: readonly SignalMapping[],
    brokers: readonly BrokerAccess[],
    now: () => number,
  ) {
    this.line = setup.line
    this.#now = now
    this.watch = new LineWatch(setup)
    this.#readers = openReaders(signals, (news) => this.#news.put(news), now, brokers)
  }

  /** Takes what came since the last time; answers the findings that are no mere notices. */
  drain(): { changed: boolean; found: WatchFinding[] } {
    const news = this.#news.take()
    const found: WatchFinding[] = []
    for (const one of news)
      if (one.kind === 'sample') found.push(...this.watch.take(one.sample))
      else this.#odd(one)
    this.#keepNotices(found)
    return { changed: news.length > 0, found }
  }

  /** Once a second. */
  tick(nowMs: number): WatchFinding[] {
    const found = this.watch.tick(nowMs)
    this.#keepNotices(found)
    return found
  }

  notice(code: string, ms: number, text: string): void {
    const told = this.#notices.find((notice) => notice.code === code && notice.text === text)
    if (told && Math.abs(ms - told.ms) < AGAIN_MS) return
    this.#notices.unshift({ code, ms, text })
    this.#notices.length = Math.min(this.#notices.length, MAX_NOTICES)
  }

  shown(): Shown {
    const value = (...args: Parameters<LineWatch['newest']>) => this.watch.newest(...args)?.value ?? null
    const newestMs = this.watch.newest('counter_m')?.ms ?? this.watch.newest('speed_m_min')?.ms ?? null
    return {
      line: this.line,
      ...this.#state(newestMs),
      at: newestMs === null ? null : new Date(newestMs).toISOString(),
      counterM: value('counter_m'),
      speedMPerMin: value('speed_m_min'),
      tensionN: value('tension_n'),
      dancerPct: value('dancer_pct'),
      diameterMm: value('diameter_mm'),
      notices: this.#notices
        .filter(({ ms }) => this.#now() - ms < SHOWN_FOR_MS)
        .map(({ ms, text }) => ({ at: new Date(ms).toISOString(), text })),
    }
  }

  async stop(): Promise<void> {
    await Promise.all(this.#readers.map((reader) => reader.stop()))
  }

  #state(newestMs: number | null): Pick<Shown, 'state' | 'message'> {
    for (const [device, why] of this.#lost)
      if (why !== null) return { state: 'failed', message: `${device}: ${why}.` }
    const silent = this.watch.silent
    if (silent.length > 0) {
      const words = silent.map((quantity) => QUANTITY_WORDS[quantity]).join(', ')
      return { state: 'silent', message: `Nothing from: ${words}.` }
    }
    if (newestMs === null) return { state: 'silent', message: 'Nothing has come yet.' }
    return { state: 'live', message: null }
  }

  #odd(news: Exclude<SignalNews, { kind: 'sample' }>): void {
    if (news.kind === 'connected') {
      const was = this.#lost.get(news.device)
      this.#lost.set(news.device, null)
      if (was) this.notice('lost', news.atMs, `${news.device} is heard again.`)
      return
    }
    if (news.kind === 'disconnected') {
      const was = this.#lost.get(news.device)
      this.#lost.set(news.device, news.why)
      if (was === undefined || was === null)
        this.notice('lost', news.atMs, `${news.device} is not heard: ${news.why}.`)
      return
    }
    const what = QUANTITY_WORDS[news.quantity]
    if (news.kind === 'unreadable')
      this.notice('unreadable', news.atMs, `What ${news.device} sends as ${what} ${news.why}.`)
    else
      this.notice(
        'dropped',
        news.atMs,
        `${news.device} sends more than can be read: ${news.count} readings of the ${what} were dropped, the oldest first.`,
      )
  }

  #keepNotices(found: readonly WatchFinding[]): void {
    for (const one of found) if (one.kind === 'notice') this.notice(one.code, one.atMs, one.text)
  }
}

/** What a line shows that nothing is read from. */
export function silentLine(line: string): LineSignals {
  const nothing = { counterM: null, speedMPerMin: null, tensionN: null, dancerPct: null, diameterMm: null }
  return { line, state: 'none', message: null, at: null, ...nothing, sparks: [], notices: [] }
}

/** What a works knows of its lines, for those with a signal that is switched on. */
export function lineSetups(
  works: { site: WorksSite } & Pick<Works, 'counterChecks'>,
  signals: readonly SignalMapping[],
): { setup: LineWatchSetup; signals: SignalMapping[] }[] {
  return works.site.lines.flatMap((line) => {
    const on = signals.filter((signal) => signal.on && signal.line === line.id)
    if (on.length === 0) return []
    const setup: LineWatchSetup = {
      line: line.id,
      toCutterM: line.spark.toCutterM,
      electrodeM: line.spark.electrodeMm / 1000,
      maxMPerS: line.vMaxMMin / 60,
      errorRatio: counterCorrection(line.id, works.counterChecks)?.errorRatio ?? 0,
      pollMs: new Map(on.map(({ quantity, pollMs }) => [quantity, pollMs])),
      polled: new Set(on.filter((s) => s.protocol === 'modbus-tcp').map(({ quantity }) => quantity)),
    }
    return [{ setup, signals: on }]
  })
}
