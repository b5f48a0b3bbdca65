import type { LengthUm } from '../quantity/length.ts'
import type { MicroEur } from '../quantity/money.ts'
import type { Catalog } from './catalog.ts'
import { cheapestWindOff, type DrumModel, type Place, restsFromUm, shortRestMicro } from './drum-model.ts'
import { SHORT_REST_UM } from './tariff.ts'

/** What is wound off a drum between pieces: one length, across faults where that pays. */
export interface WindOff {
  fromUm: LengthUm
  toUm: LengthUm
  putup: string
  /** Of winding it off and of the put-up, less what is kept by it. */
  costMicro: MicroEur
}

/** What stays on a drum after its last piece. */
export interface Rest {
  fromUm: LengthUm
  toUm: LengthUm
  /** Its value, less what a short one costs. */
  keptMicro: MicroEur
}

/** What is best left on the drum from a place inwards; null where all of it is worth more as scrap. */
export function bestRest(catalog: Catalog, model: DrumModel, where: Place, atUm: LengthUm): Rest | null {
  const { good, lengthUm } = model.usable
  let best: Rest | null = null
  let mostMicro = (good.toUm - atUm) * model.scrapMicroPerUm
  for (const fromUm of restsFromUm(model, atUm)) {
    // a rest that is short without its inner end stays together with it, where that makes it long enough to stay
    const shortMicro = shortRestMicro(catalog, model, where, good.toUm - fromUm)
    const wholeMicro = shortRestMicro(catalog, model, where, lengthUm - fromUm)
    const keptMicro = model.keptFromMicro(fromUm) - Math.min(shortMicro, wholeMicro)
    const worthMicro = keptMicro + (fromUm - atUm) * model.scrapMicroPerUm
    if (worthMicro <= mostMicro) continue
    mostMicro = worthMicro
    best = { fromUm, toUm: shortMicro > wholeMicro ? lengthUm : good.toUm, keptMicro }
  }
  return best
}

/** What is left from a place inwards is worth: the best rest and the copper of what comes off before it, or all as scrap. */
export function restWorthMicro(catalog: Catalog, model: DrumModel, where: Place, atUm: LengthUm): MicroEur {
  const rest = bestRest(catalog, model, where, atUm)
  const scrapUm = (rest?.fromUm ?? model.usable.good.toUm) - atUm
  return (rest?.keptMicro ?? 0) + scrapUm * model.scrapMicroPerUm
}

/** By how much the rest from a place inwards falls short of what is worth keeping, and of what may stay on a drum for nothing. */
export function shortfallsUm({ usable, cable }: DrumModel, atUm: LengthUm): LengthUm[] {
  const clean = usable.clean.find((s) => s.fromUm <= atUm && s.toUm >= atUm)
  const leftUm = (clean?.toUm ?? atUm) - atUm
  return [cable.minKeepUm - leftUm, SHORT_REST_UM - (usable.good.toUm - atUm)].filter((um) => um > 0)
}

/** What is best wound off between two places: from within one clean stretch up to the end of it or of a later one; null where nothing pays. */
export function bestWindOff(
  catalog: Catalog,
  model: DrumModel,
  place: Place,
  fromUm: LengthUm,
  toUm: LengthUm,
): WindOff | null {
  const kept = keepable(model, fromUm, toUm)
  let best: WindOff | null = null
  let mostMicro = 0
  for (const [i, outer] of kept.entries()) {
    let worthMicro = 0
    for (const inner of kept.slice(i)) {
      worthMicro += inner.worthMicro
      const lengthUm = inner.toUm - outer.fromUm
      const windOff = cheapestWindOff(catalog, place, lengthUm)
      if (!windOff) break
      const gainMicro = worthMicro - windOff.costMicro - lengthUm * model.scrapMicroPerUm
      if (gainMicro <= mostMicro) continue
      mostMicro = gainMicro
      const { putup, costMicro } = windOff
      best = { fromUm: outer.fromUm, toUm: inner.toUm, putup, costMicro: costMicro - worthMicro }
    }
  }
  return best
}

/** The clean stretches between two places that are worth keeping. */
function keepable(
  { usable, valueMicro }: DrumModel,
  fromUm: LengthUm,
  toUm: LengthUm,
): { fromUm: LengthUm; toUm: LengthUm; worthMicro: MicroEur }[] {
  const kept = []
  for (const clean of usable.clean) {
    const stretch = { fromUm: Math.max(clean.fromUm, fromUm), toUm: Math.min(clean.toUm, toUm) }
    const worthMicro = valueMicro(stretch.toUm - stretch.fromUm)
    if (worthMicro > 0) kept.push({ ...stretch, worthMicro })
  }
  return kept
}
