import type { Catalog } from './catalog.ts'
import type { Duals } from './duals.ts'
import type { TypeInstance } from './instance.ts'
import type { LinearProgramEngine } from './linear-program.ts'
import { Master } from './master.ts'
import { type PlaceSet, placeSets, setTakes } from './place-set.ts'
import { type OfferShape, shapesApart } from './relaxed-offers.ts'
import { ANY_REST, RestWorth } from './rest-worth.ts'

/** Stretches times items beyond which the program would take longer than the prices are worth. */
const MOST_PLACES = 6_000
/** Rests of a stretch that are looked at. */
const RESTS = 64
const MICRO = 1e6
const NONE = Number.NEGATIVE_INFINITY

/** A rest that a drum may be left with in one stretch, metres, and what it is worth, euro. */
interface Rest {
  lengthM: number
  worthEur: number
}

/**
 * Prices of pieces from a linear program that counts: how many of each item come from each stretch of each drum, which put-ups
 * each drum pays for, where it is stopped. It knows nothing of patterns, so it is solved once and not round by round, and its
 * prices lie near those that pricing patterns ends with. They prove nothing by themselves; a bound is proven from them as from
 * any others. null where the program is too large, or has no solution.
 */
export function countPrices(
  catalog: Catalog,
  instance: TypeInstance,
  engine: LinearProgramEngine,
  unservedMicro: number,
): Duals | null {
  const stretches = instance.drums.reduce((sum, model) => sum + model.parts.length, 0)
  if (stretches * instance.items.length > MOST_PLACES) return null
  const master = new Master(instance, engine)
  try {
    master.setService(unservedMicro)
    for (const drum of instance.drums.keys()) addDrum(master, catalog, drum)
    return master.solve()?.duals ?? null
  } finally {
    master.dispose()
  }
}

function addDrum(master: Master, catalog: Catalog, drum: number): void {
  const { lp, instance } = master
  const model = instance.drums[drum]!
  const { parts, scrapMicroPerUm } = model
  const lengthsM = parts.map((p) => (p.toUm - p.fromUm) / MICRO)
  const sets = placeSets(model).filter((s) => s.places.length === 1)
  const worths = sets.map((set) => new RestWorth(catalog, model, set, parts, false, ANY_REST))
  // a drum that is mounted is stopped somewhere, and of each stretch up to there the pieces and the rest fill no more than all
  const stopRow = lp.addRow(0, 0)
  const lengthRows = lengthsM.map(() => lp.addRow(NONE, 0))
  const putups = new PutupRows(master, sets)
  for (const [s, set] of sets.entries())
    master.addMounting(drum, set.places[0]!.id, -worths[s]!.fixedMicro / MICRO, [
      [stopRow, -1],
      ...putups.rowsOf(set),
    ])
  for (const [k, lengthM] of lengthsM.entries()) {
    const gapsEur = worths[0]!.gapsUpToMicro(k) / MICRO
    const passed = lengthRows.slice(0, k).map((row, q): [number, number] => [row, -lengthsM[q]!])
    for (const rest of restsOf(worths, k))
      addColumn(master, -(rest.worthEur + gapsEur), [
        [stopRow, 1],
        [lengthRows[k]!, rest.lengthM - lengthM],
        ...passed,
      ])
    addColumn(master, -scrapMicroPerUm, [[lengthRows[k]!, 1]])
    const anywhere = { places: model.places, mountMicro: 0, changeMicro: 0, free: 0 }
    for (const shape of shapesApart(instance.items, anywhere, parts[k]!, catalog.input.site.cutRules))
      addPieces(master, drum, shape, lengthRows[k]!, putups)
  }
}

/** How many pieces of one kind lie in a stretch, and by how much they are shorter than they might be. */
function addPieces(
  master: Master,
  drum: number,
  { item, group, copies, cutUm, share, costMicro, shrink }: OfferShape,
  lengthRow: number,
  putups: PutupRows,
): void {
  const { lp } = master
  const pieces = master.addAmount(drum, item, share, costMicro / MICRO, copies, [[lengthRow, cutUm / MICRO]])
  lp.addRow(NONE, 0, [pieces, putups.columnOf(group)], [1, -copies])
  if (!shrink) return
  const { leastCutUm, lossShare, lossMicro } = shrink
  const shorter = master.addAmount(drum, item, -lossShare * MICRO, lossMicro, Number.POSITIVE_INFINITY, [
    [lengthRow, -1],
  ])
  lp.addRow(NONE, 0, [shorter, pieces], [1, -(cutUm - leastCutUm) / MICRO])
}

/** Whether a drum has pieces on a put-up: paid once, and only where it is mounted at a place that takes the put-up. */
class PutupRows {
  readonly #master: Master
  /** What pieces may be on at each place. */
  readonly #takes: Map<PlaceSet, Set<number>>
  readonly #rows = new Map<number, number>()
  readonly #columns = new Map<number, number>()

  constructor(master: Master, sets: PlaceSet[]) {
    this.#master = master
    this.#takes = new Map(sets.map((set) => [set, groupsOf(master.instance, set)]))
    for (const groups of this.#takes.values())
      for (const group of groups) if (!this.#rows.has(group)) this.#rows.set(group, master.lp.addRow(NONE, 0))
  }

  rowsOf(set: PlaceSet): [number, number][] {
    return [...this.#takes.get(set)!].map((group) => [this.#rows.get(group)!, -1])
  }

  columnOf(group: number): number {
    const known = this.#columns.get(group)
    if (known !== undefined) return known
    const changes = [...this.#takes].flatMap(([set, groups]) => (groups.has(group) ? [set.changeMicro] : []))
    const column = addColumn(this.#master, Math.min(...changes) / MICRO, [[this.#rows.get(group)!, 1]])
    this.#columns.set(group, column)
    return column
  }
}

function groupsOf({ items }: TypeInstance, set: PlaceSet): Set<number> {
  return new Set(
    items.flatMap((item) => item.options.filter((o) => setTakes(set, item, o.putup)).map((o) => o.group)),
  )
}

function addColumn(master: Master, costEur: number, entries: [number, number][]): number {
  return master.lp.addColumn(
    costEur,
    0,
    Number.POSITIVE_INFINITY,
    entries.map(([row]) => row),
    entries.map(([, value]) => value),
  )
}

/** The rests of a stretch that no mixture of others is worth as much as. */
function restsOf(worths: RestWorth[], k: number): Rest[] {
  const lengthUm = worths[0]!.lengthUm(k)
  const cellUm = Math.max(1, Math.ceil(lengthUm / RESTS))
  const cells = Math.floor(lengthUm / cellUm)
  const tables = worths.map((worth) => worth.stops(k, cellUm, cells))
  const hull: Rest[] = []
  for (let x = cells; x >= 0; x--) {
    const rest = {
      lengthM: (lengthUm - x * cellUm) / MICRO,
      worthEur: Math.max(...tables.map((t) => t[x]!)) / MICRO,
    }
    while (hull.length >= 2 && !above(hull.at(-2)!, hull.at(-1)!, rest)) hull.pop()
    hull.push(rest)
  }
  return hull
}

/** Whether the middle one of three rests is worth more than the mixture of the others that is as long. */
function above(a: Rest, b: Rest, c: Rest): boolean {
  return (
    (b.worthEur - a.worthEur) * (c.lengthM - b.lengthM) > (c.worthEur - b.worthEur) * (b.lengthM - a.lengthM)
  )
}
