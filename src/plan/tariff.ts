import type { CableType } from '../cable/cable-type.ts'
import type { Bench } from '../hall/bench.ts'
import type { Costs } from '../hall/costs.ts'
import type { RewindingLine } from '../hall/rewinding-line.ts'
import type { OrderLine } from '../order/order-line.ts'
import type { LengthUm } from '../quantity/length.ts'
import { type MicroEur, microFromEur } from '../quantity/money.ts'

/**
 * What each thing in a plan costs, in whole micro-euro. The works' own rule of cost, not a published one:
 * every figure comes from costs.json and lines.json.
 */

/** Short stretches are worth less per metre than long ones, since they meet fewer orders. */
const VALUE_HALF_UM = 60_000_000n
/** 0.35·(L + 60 m) + 0.65·L = L + 21 m. */
const VALUE_SHIFT_UM = 21_000_000n
const BENCH_MOUNT_MIN = 3
const SPACE_MONTHS = 3
/** A rest below this does not stay on a process drum: somebody has to wind it off. */
export const SHORT_REST_UM = 50_000_000

/**
 * Value of a clean stretch kept in stock: V(L) = c·L·(0.35 + 0.65·L/(L + 60 m)) = c·L·(L + 21 m)/(L + 60 m),
 * c = material cost per metre; 0 below the cable's shortest kept length. Exact, rounded once to a micro-euro.
 */
export function stretchValueMicro(
  materialMicroPerM: number,
  minKeepUm: LengthUm,
  lengthUm: LengthUm,
): MicroEur {
  if (lengthUm <= 0 || lengthUm < minKeepUm) return 0
  const length = BigInt(lengthUm)
  const top = BigInt(materialMicroPerM) * length * (length + VALUE_SHIFT_UM)
  const bottom = (length + VALUE_HALF_UM) * 1_000_000n
  return Number((2n * top + bottom) / (2n * bottom))
}

/** The same curve in floating point and without the shortest kept length: for choosing and for bounds, never for a price. */
export function curveValueMicro(materialMicroPerUm: number, lengthUm: number): number {
  if (lengthUm <= 0) return 0
  return (
    (materialMicroPerUm * lengthUm * (lengthUm + Number(VALUE_SHIFT_UM))) / (lengthUm + Number(VALUE_HALF_UM))
  )
}

/** Material cost of a cable in whole micro-euro per metre. */
export function materialMicroPerM(costs: Costs, cable: string): number {
  return microFromEur(costs.materialCostEurM[cable] ?? 0)
}

export function materialMicro(costs: Costs, cable: string, lengthUm: LengthUm): MicroEur {
  return Math.round((materialMicroPerM(costs, cable) * lengthUm) / 1e6)
}

/**
 * What a dealer pays for scrap, micro-euro per metre (not rounded): copper price × the works' ratio × copper share of the mass,
 * so that foil and foam pay little.
 */
export function scrapMicroPerM(costs: Costs, cable: CableType): number {
  return (
    (cable.copperKgKm / 1000) *
    costs.copperNowEurKg *
    costs.scrapReturnRatioOfCopper *
    (cable.copperKgKm / cable.massKgKm) *
    1e6
  )
}

export function lineMountMicro(line: RewindingLine, costs: Costs, changesCable: boolean): MicroEur {
  const minutes = changesCable ? line.changeoverMin.newCable : line.changeoverMin.newDrumSameCable
  return microFromEur(costs.drumChangeEur + (minutes * line.rateEurH) / 60)
}

export function benchMountMicro(bench: Bench): MicroEur {
  return microFromEur((BENCH_MOUNT_MIN * bench.rateEurH) / 60)
}

export function putupChangeMicro(line: RewindingLine): MicroEur {
  return microFromEur((line.changeoverMin.sameCableNewPutup * line.rateEurH) / 60)
}

/** Winding off a length and keeping it for a while, without the put-up itself. */
export function windOffMicro(line: RewindingLine, costs: Costs, lengthUm: LengthUm): MicroEur {
  const minutes =
    line.changeoverMin.sameCableNewPutup + line.cutTieLabelS.bobbin / 60 + lengthUm / 1e6 / line.vMaxMMin
  return microFromEur((minutes * line.rateEurH) / 60 + SPACE_MONTHS * costs.spaceEurPerPositionMonth)
}

/**
 * What leaving pieces of an order line unserved weighs: their share of its price, times 1 + 1/(1 + days until due).
 */
export function unservedMicro(line: OrderLine, pieces: number, today: string): MicroEur {
  return microFromEur(((line.priceEur * pieces) / line.qty) * dueWeight(line.dueDate, today))
}

export function dueWeight(dueDate: string, today: string): number {
  const days = Math.max(0, (Date.parse(dueDate) - Date.parse(today)) / 86_400_000)
  return 1 + 1 / (1 + days)
}
