import type { CableType } from '../../src/cable/cable-type.ts'
import type { RewindingLine } from '../../src/hall/rewinding-line.ts'
import type { LeadTest } from '../../src/lead/lead-test.ts'
import type { MonthBalance } from '../../src/ledger/month-balance.ts'
import type { RunSample } from '../../src/line/run-sample.ts'
import type { CounterCheck } from '../../src/measure/counter-check.ts'
import type { OrderLine } from '../../src/order/order-line.ts'
import type { Drum } from '../../src/strip/drum.ts'
import type { Random } from './random.ts'
import { daysBefore } from './stock.ts'

/** The records of a works that planning hardly looks at; invented, of the right shape. */

const CHECKS_PER_LINE = 24

/** Each line's counter is off by a little of its own, which wanders slowly. */
export function counterChecks(
  random: Random,
  lines: RewindingLine[],
  cables: CableType[],
  today: string,
): CounterCheck[] {
  const checks: CounterCheck[] = []
  for (const line of lines) {
    const takes = cables.filter((c) => c.odMm >= line.odMinMm && c.odMm <= line.odMaxMm)
    if (takes.length === 0) continue
    let ratio = random.decimal(-0.0004, 0.0014, 5)
    for (let i = CHECKS_PER_LINE; i >= 1; i--) {
      ratio += random.decimal(-0.0001, 0.0001, 6)
      const tapeM = random.pick([20, 50])
      const cable = random.pick(takes)
      checks.push({
        date: daysBefore(today, i * 7),
        line: line.id,
        cable: cable.cable,
        counterM: Number((tapeM * (1 + ratio) + random.decimal(-0.01, 0.01, 3)).toFixed(3)),
        tapeM,
        tempC: random.decimal(10, 27, 1),
        tensionN: cable.lineTensionN,
        speedMMin: random.pick([60, 120, 150]),
        person: 'P1',
      })
    }
  }
  return checks.sort((a, b) => a.date.localeCompare(b.date))
}

/** Three tested leads for each matched set, and for one other line of leads where there is no set. */
export function leadTests(
  random: Random,
  orders: OrderLine[],
  cables: CableType[],
  drums: Drum[],
): LeadTest[] {
  const tests: LeadTest[] = []
  const leads = orders.filter((o) => o.kind === 'lead')
  const sets = leads.filter((o) => o.matchedSet !== null)
  for (const line of sets.length > 0 ? sets : leads.slice(0, 1)) {
    const cable = cables.find((c) => c.cable === line.cable)!
    const lot = drums.find((d) => d.cable === line.cable)!.lot
    for (let i = 0; i < 3; i++) {
      const lengthM = Number((line.lengthUm / 1e6 + random.decimal(-0.002, 0.002, 4)).toFixed(4))
      const delayPs = Number((lengthM * cable.delayNsM * 1000 + random.decimal(-4, 4, 1)).toFixed(1))
      tests.push({
        serial: `S${String(tests.length + 1).padStart(5, '0')}`,
        cable: line.cable,
        lot,
        connA: line.connA!,
        connB: line.connB!,
        lengthM,
        fTestMhz: 2400,
        delayPs,
        phaseDeg: Number((((-delayPs * 0.864) % 360) + 360).toFixed(2)) % 360,
        ilDb: random.decimal(0.2, 1.4, 3),
        rlMinDb: random.decimal(27, 31, 1),
        continuity: 'pass',
        hipotKvDc: 1.5,
        leakUa: random.decimal(0.3, 0.9, 2),
        tempC: random.decimal(20, 22, 1),
      })
    }
  }
  return tests
}

/** Half a minute of a run: up to speed and on. */
export function lineRun(random: Random, line: RewindingLine, cable: CableType): RunSample[] {
  const setMS = line.vMaxMMin / 60 / 2
  let countM = 0
  return Array.from({ length: 300 }, (_, i) => {
    const tS = i / 10
    const vMS = Math.min(setMS, line.accelMS2 * (tS + 0.1))
    countM += vMS * 0.1
    return {
      line: line.id,
      cable: cable.cable,
      targetM: 100,
      tS,
      vSetMS: setMS,
      vMS: Number(vMS.toFixed(3)),
      countM: Number(countM.toFixed(3)),
      takeupTurns: Number((countM / 1.2).toFixed(3)),
      payoffVMS: Number(Math.max(0, vMS + random.decimal(-0.02, 0.02, 3)).toFixed(3)),
      dancerPct: random.decimal(45, 58, 1),
      tensionN: random.decimal(18, 26, 1),
      sparkKv: cable.sparkKvRms,
      sparkMa: random.decimal(0.5, 0.9, 2),
      sparkEvent: 0,
      odXMm: Number((cable.odMm + random.decimal(-0.03, 0.03, 3)).toFixed(3)),
      odYMm: Number((cable.odMm + random.decimal(-0.03, 0.03, 3)).toFixed(3)),
      state: 'RUN' as const,
    }
  })
}

/** Last month of each cable: what is in the books now is what was counted, give or take. */
export function monthLedger(
  random: Random,
  cables: CableType[],
  drums: Drum[],
  today: string,
): MonthBalance[] {
  const month = daysBefore(`${today.slice(0, 7)}-01`, 1).slice(0, 7)
  return cables.map((c) => {
    const closingM = drums.filter((d) => d.cable === c.cable).reduce((s, d) => s + d.bookUm / 1e6, 0)
    const shippedM = random.whole(800, 6000)
    const scrapM = random.whole(10, 120)
    const samplesM = random.whole(2, 15)
    const receivedM = random.whole(800, 6000)
    return {
      cable: c.cable,
      month,
      receivedM,
      shippedM,
      scrapM,
      samplesM,
      openingM: Number(Math.max(0, closingM + shippedM + scrapM + samplesM - receivedM).toFixed(1)),
      closingCountedM: Number((closingM * random.decimal(0.985, 1.0, 4)).toFixed(1)),
    }
  })
}
