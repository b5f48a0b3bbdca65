import type { CableType } from '../cable/cable-type.ts'
import type { MicroEur } from '../quantity/money.ts'
import { type Catalog, orderKey } from './catalog.ts'
import { type DrumModel, drumModel } from './drum-model.ts'
import { type Item, itemsOf } from './item.ts'
import { lineMountMicro } from './tariff.ts'

/** Everything about one cable type that a plan decides on, built once and then only read. */
export interface TypeInstance {
  cable: CableType
  items: Item[]
  drums: DrumModel[]
  /** Lines that this cable may run on, with what one more change of cable on that line costs. */
  lineFixed: Map<string, MicroEur>
  /** Order lines that no drum can serve at all, whatever else is cut. */
  hopeless: Set<string>
}

/** Work grows with every drum, so that with more of them search and proof go other ways. A tuned figure. */
const FEW_DRUMS = 10

export function hasFewDrums({ drums }: TypeInstance): boolean {
  return drums.length <= FEW_DRUMS
}

/** The instances of a works, one for each cable that is ordered; a change of cable on a line is all that joins them. */
export function typeInstances(catalog: Catalog): TypeInstance[] {
  const ordered = new Set(catalog.input.orders.map((o) => o.cable))
  const cables = catalog.input.cables.filter((c) => ordered.has(c.cable))
  return cables.map((c) => typeInstance(catalog, c, cables.length > 1))
}

/** `amongOthers`: whether other cables run on the lines too, so that this one may come as a change. */
export function typeInstance(catalog: Catalog, cable: CableType, amongOthers = true): TypeInstance {
  const { input } = catalog
  const items = itemsOf(catalog, cable)
  const drums: DrumModel[] = []
  for (const usable of catalog.drums.values()) {
    if (usable.drum.cable !== cable.cable || usable.drum.status !== 'free') continue
    const model = drumModel(catalog, usable, cable, items)
    if (model) drums.push(model)
  }
  const lineFixed = new Map<string, MicroEur>()
  for (const line of input.site.lines) {
    const used = drums.some((d) => d.places.some((p) => p.id === line.id))
    const changeMicro = lineMountMicro(line, input.costs, true) - lineMountMicro(line, input.costs, false)
    if (used) lineFixed.set(line.id, amongOthers ? Math.max(0, changeMicro) : 0)
  }
  const hopeless = new Set<string>()
  for (const item of items)
    if (!drums.some((d) => d.fits[item.index]))
      for (const l of item.lines) hopeless.add(orderKey(l.order.order, l.order.line))
  return { cable, items, drums, lineFixed, hopeless }
}
