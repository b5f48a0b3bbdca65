import type { RewindingLine } from '../../src/hall/rewinding-line.ts'
import type { Works } from '../../src/works/works.ts'
import type { Random } from '../generate/random.ts'

const UM = 1e6

/** Lines that take little, rules of nothing or of much, work that is free or dear, nothing or everything worth keeping. */
export function twistHall(random: Random, works: Works): void {
  const twists = [twistLines, twistRules, twistCosts, twistCables, twistBenches, twistPutups]
  for (const twist of random.shuffled(twists).slice(0, random.whole(1, 3))) twist(random, works)
}

function twistLines(random: Random, works: Works): void {
  const { lines } = works.site
  if (lines.length > 1 && random.chance(0.3)) lines.splice(random.whole(0, lines.length - 1), 1)
  for (const line of lines) if (random.chance(0.6)) twistLine(random, line)
}

function twistLine(random: Random, line: RewindingLine): void {
  const minutes = random.pick([0, 0.01, 90])
  const twists = [
    () => {
      line.rateEurH = random.pick([0, 0.01, 900])
    },
    () => {
      line.changeoverMin = {
        sameCableSamePutup: minutes,
        sameCableNewPutup: minutes,
        newDrumSameCable: minutes,
        newCable: minutes,
      }
    },
    () => {
      line.dancer = { ...line.dancer, storedM: random.pick([0.01, 30, 150]) }
    },
    () => {
      line.takeupPutups = random.shuffled(line.takeupPutups).slice(0, random.whole(1, 3))
    },
    () => {
      line.payoffMaxKg = random.pick([1, 150, 1e5])
      line.payoffMaxDrumMm = random.pick([100, 1200, 1e5])
    },
    () => {
      line.odMinMm = random.pick([0.1, 6])
      line.odMaxMm = random.pick([7, 100])
    },
    () => {
      line.vMaxMMin = random.pick([1, 1000])
    },
  ]
  random.pick(twists)()
}

function twistRules(random: Random, works: Works): void {
  const rules = works.site.cutRules
  const few = random.pick([0, 1, 3 * UM, 40 * UM])
  const twists = [
    () => {
      rules.pieceTrimUm = random.pick([0, 1, 2 * UM])
      rules.leadTrimUm = random.pick([0, 1, UM])
    },
    () => {
      rules.lengthGuardRatio = random.pick([0, 0.000_001, 0.05])
    },
    () => {
      rules.faultMarginUm = few
    },
    () => {
      rules.outerEndLossProcessDrumUm = few
      rules.innerEndLossProcessDrumUm = few
      rules.outerEndLossRemnantUm = few
    },
    () => {
      rules.uncappedEndCutUm = few
    },
  ]
  for (const twist of random.shuffled(twists).slice(0, random.whole(1, 3))) twist()
}

function twistCosts(random: Random, works: Works): void {
  const { costs } = works
  costs.spaceEurPerPositionMonth = random.pick([0, 0.2, 50])
  costs.drumChangeEur = random.pick([0, 14, 500])
  costs.scrapReturnRatioOfCopper = random.pick([0, 0.45, 1])
  if (random.chance(0.3)) costs.copperNowEurKg = random.pick([0.01, 60])
  if (random.chance(0.3))
    for (const cable of works.cables) costs.materialCostEurM[cable.cable] = random.pick([0.001, 25])
}

function twistCables(random: Random, works: Works): void {
  for (const cable of works.cables) {
    if (random.chance(0.6)) cable.minKeepUm = random.pick([0, 1, 25 * UM, 100_000 * UM])
    if (random.chance(0.3)) cable.barrelMinMm = random.pick([1, 200, 600])
    if (random.chance(0.2)) cable.massKgKm = random.pick([cable.massKgKm, cable.copperKgKm + 0.1, 900])
  }
}

function twistBenches(random: Random, works: Works): void {
  const { benches } = works.benchHall
  if (random.chance(0.4)) for (const bench of benches) bench.can = bench.can.filter((c) => c !== 'cut')
  else for (const bench of benches) bench.rateEurH = random.pick([0.01, 33, 500])
}

function twistPutups(random: Random, works: Works): void {
  for (const putup of works.putups) {
    if (putup.kind === 'process_drum' || random.chance(0.5)) continue
    putup.costEur = random.pick([0, putup.costEur, 200])
    if (random.chance(0.3)) putup.payloadKg = random.pick([0.5, putup.payloadKg, 5000])
    if (random.chance(0.2)) putup.woodMark = random.pick(['unmarked', 'ht_marked'] as const)
  }
}
