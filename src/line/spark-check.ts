/** One check of a spark tester with the artificial fault, in the order in which they were made. */
export interface SparkCheck {
  line: string
  /** Date or date and time, sortable as text. */
  at: string
  /** Artificial fault at line speed: seen, stopped, counted; voltage against a meter; bond continuous. */
  faultSeen: boolean
  voltageRight: boolean
  bondSound: boolean
}

/** A piece that was cut, and so passed the tester of its line. */
export interface SparkTestedPiece {
  serial: string
  line: string
  at: string
}

export interface SparkSuspicion {
  line: string
  /** The check that failed. */
  failedAt: string
  /** What failed, in words. */
  failed: string[]
  /** The last good check before it; null where there is none on record. */
  lastGoodAt: string | null
  /** Everything tested since, and so not known to be sound. */
  pieces: SparkTestedPiece[]
}

/** Whether the tester sees what it should. */
export function sparkCheckPassed(check: SparkCheck): boolean {
  return check.faultSeen && check.voltageRight && check.bondSound
}

/**
 * What is suspect after each failed check: all that the tester passed since its last good check. Of two failures in a row
 * the second reaches back no further than the first did, so both name the same last good check.
 */
function sparkSuspicions(checks: SparkCheck[], pieces: SparkTestedPiece[]): SparkSuspicion[] {
  const sorted = [...checks].sort((a, b) => a.at.localeCompare(b.at))
  const lastGood = new Map<string, string>()
  const found: SparkSuspicion[] = []
  for (const check of sorted) {
    if (sparkCheckPassed(check)) {
      lastGood.set(check.line, check.at)
      continue
    }
    const lastGoodAt = lastGood.get(check.line) ?? null
    found.push({
      line: check.line,
      failedAt: check.at,
      failed: [
        ...(check.faultSeen ? [] : ['the artificial fault was not seen']),
        ...(check.voltageRight ? [] : ['the voltage was wrong']),
        ...(check.bondSound ? [] : ['the earth bond was open']),
      ],
      lastGoodAt,
      pieces: pieces.filter(
        (p) =>
          p.line === check.line &&
          notAfter(p.at, check.at) &&
          (lastGoodAt === null || notAfter(lastGoodAt, p.at)),
      ),
    })
  }
  return found
}

/** What the record says of one line's tester on a day. */
export interface SparkWatch {
  /** Why a check is due before the run; null where a good one of this day is on record. */
  due: string | null
  suspicions: SparkSuspicion[]
}

/** `checks` null: none are recorded. */
export function sparkWatch(
  line: string,
  checks: SparkCheck[] | null,
  pieces: SparkTestedPiece[],
  today: string,
): SparkWatch {
  if (checks === null) return { due: 'checks not recorded', suspicions: [] }
  const own = checks.filter((c) => c.line === line)
  const suspicions = sparkSuspicions(own, pieces)
  if (own.length === 0) return { due: 'no check on record', suspicions }
  const last = own.reduce((a, b) => (b.at >= a.at ? b : a))
  const due = !sparkCheckPassed(last)
    ? `the last check (${last.at}) failed`
    : last.at.slice(0, 10) === today.slice(0, 10)
      ? null
      : `last good check ${last.at}`
  return { due, suspicions }
}

/** By what both tell: of two times of which one is only a day, the day decides, so that nothing is left out. */
function notAfter(a: string, b: string): boolean {
  const told = Math.min(a.length, b.length)
  return a.slice(0, told) <= b.slice(0, told)
}
