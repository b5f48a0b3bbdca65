import type { LengthUm } from '../quantity/length.ts'
import type { Catalog } from './catalog.ts'
import { placeTakes } from './drum-model.ts'
import type { TypeInstance } from './instance.ts'
import { sideBySideUm } from './item.ts'
import { layOutCost } from './pattern.ts'
import { type Changed, isEmpty, type Standing, type Standings } from './piece-standings.ts'
import { roomIn } from './stretch-chain.ts'
import { alike, type Taken } from './stretch-fill.ts'

/** A drum and one of its stretches; drum −1 are the pieces that are not served. */
export interface Spot {
  drum: number
  stretch: number
}

export const NOT_SERVED = -1

/** A change of a drum or a few that is being thought out: what it touches is copied first, so that it can be dropped. */
export class PieceMove {
  readonly #catalog: Catalog
  readonly #instance: TypeInstance
  readonly #now: Standings
  readonly drums: Changed[] = []
  missing: Taken[]

  constructor(catalog: Catalog, instance: TypeInstance, now: Standings) {
    this.#catalog = catalog
    this.#instance = instance
    this.#now = now
    this.missing = now.missing
  }

  /** A drum, copied where it was as it is so far. */
  changing(drum: number): Standing {
    const known = this.#changed(drum)
    if (known) return known
    const { place, division, taken, lengthsUm, costMicro } = this.#now.drums[drum]!
    const standing = { place, division, taken: [...taken], lengthsUm: [...lengthsUm], costMicro }
    this.drums.push({ drum, standing })
    return standing
  }

  /** The pieces of a spot, copied so that they can be changed. */
  opened({ drum, stretch }: Spot): Taken[] {
    if (drum === NOT_SERVED) {
      if (this.missing === this.#now.missing) this.missing = this.missing.map(copyOf)
      return this.missing
    }
    const standing = this.changing(drum)
    const copy = standing.taken[stretch]!.map(copyOf)
    standing.taken[stretch] = copy
    return copy
  }

  /** Empties a drum and divides it anew. */
  emptied(drum: number, division: number): void {
    const standing = this.changing(drum)
    const stretches = this.#instance.drums[drum]!.divisions[division]!
    standing.division = division
    standing.taken = stretches.map(() => [])
    standing.lengthsUm = stretches.map(() => 0)
  }

  /** Puts pieces into a spot that is opened; they are the spot's from then on. */
  put(piece: Taken, spot: Spot): void {
    const into = this.#piecesOf(spot)
    const same = alike(into, piece)
    if (same) this.#recount(same, same.count + piece.count, spot)
    else {
      into.push(piece)
      this.#lengthen(spot, this.#lengthUm(piece, piece.count))
    }
  }

  /** Takes some of the pieces out of a spot that is opened. */
  takeOut(spot: Spot, at: number, count: number): Taken {
    const from = this.#piecesOf(spot)
    const piece = from[at]!
    if (count === piece.count) {
      from.splice(at, 1)
      this.#lengthen(spot, -this.#lengthUm(piece, count))
      return piece
    }
    const taken = copyOf(piece)
    taken.count = count
    this.#recount(piece, piece.count - count, spot)
    return taken
  }

  /** By how much the pieces of a spot are too long for its stretch, or for one that they reach into. */
  overUm({ drum, stretch }: Spot): LengthUm {
    if (drum === NOT_SERVED) return 0
    const { division, lengthsUm } = this.#standing(drum)
    return -roomIn(this.#instance.drums[drum]!.divisions[division]!, stretch, lengthsUm)
  }

  mayLie(t: Taken, { drum, stretch }: Spot): boolean {
    if (drum === NOT_SERVED) return true
    const item = this.#instance.items[t.item]!
    const model = this.#instance.drums[drum]!
    const { division, place } = this.#standing(drum)
    if (!model.divisions[division]![stretch]!.allowed[t.item]) return false
    if (!placeTakes(model.places[place]!, item, item.options[t.option]!.putup)) return false
    return item.group === null || this.#now.comesFrom(item.group, model.usable.drum.lot)
  }

  /** Prices the drums that have changed. Of one that is empty now `placeOf` says where it may be mounted next time. */
  lay(placeOf: (places: number, place: number) => number): void {
    const { items, drums } = this.#instance
    for (const { drum, standing } of this.drums) {
      const model = drums[drum]!
      standing.costMicro =
        layOutCost(this.#catalog, items, model, standing) + this.#now.changeMicro(drum, standing)
      if (!isEmpty(standing.taken)) continue
      standing.place = placeOf(model.places.length, standing.place)
      this.emptied(drum, 0)
    }
  }

  #changed(drum: number): Standing | null {
    for (const known of this.drums) if (known.drum === drum) return known.standing
    return null
  }

  /** As the move leaves it so far; not to be changed. */
  #standing(drum: number): Standing {
    return this.#changed(drum) ?? this.#now.drums[drum]!
  }

  #piecesOf({ drum, stretch }: Spot): Taken[] {
    return drum === NOT_SERVED ? this.missing : this.#standing(drum).taken[stretch]!
  }

  #recount(piece: Taken, count: number, spot: Spot): void {
    this.#lengthen(spot, this.#lengthUm(piece, count) - this.#lengthUm(piece, piece.count))
    piece.count = count
  }

  #lengthUm({ item, cutUm }: Taken, count: number): LengthUm {
    return sideBySideUm(this.#instance.items[item]!, count, cutUm)
  }

  #lengthen({ drum, stretch }: Spot, byUm: LengthUm): void {
    if (drum === NOT_SERVED) return
    const { lengthsUm } = this.changing(drum)
    lengthsUm[stretch] = lengthsUm[stretch]! + byUm
  }
}

/** Written out, since moves are many and this is much faster. */
export function copyOf({ item, option, group, count, cutUm }: Taken): Taken {
  return { item, option, group, count, cutUm }
}
