import type { z } from 'zod'
import type { BenchHall } from '../hall/bench.ts'
import type { Costs } from '../hall/costs.ts'
import type { Market } from '../hall/market.ts'
import { among, anId, aShift, aSkill, byKey, from0, group, label, list } from './json-shapes.ts'

/** What a bench can do. */
const TASKS = [
  'cut',
  'strip',
  'crimp',
  'solder',
  'crimp_solder_pin',
  'clamp_solder_pin',
  'compression',
  'continuity',
  'hipot',
  'il',
  'rl',
  'tdr',
  'phase',
  'pack',
] as const

/** benches.json as it stands in the file. */
export const BENCH_SHAPE = group({
  benches: list(
    group({ id: anId, kind: label, can: list(among(...TASKS)), interfaces: list(label), rate_eur_h: from0 }),
  ),
  people: list(group({ id: anId, role: label, skills: list(aSkill) })),
  shifts: group({ line: list(aShift), bench: list(aShift), breaks_min: from0 }),
})

export function benchHallFrom(json: z.infer<typeof BENCH_SHAPE>): BenchHall {
  return {
    benches: json.benches.map(({ rate_eur_h, ...bench }) => ({ ...bench, rateEurH: rate_eur_h })),
    people: json.people,
    shifts: { line: json.shifts.line, bench: json.shifts.bench, breaksMin: json.shifts.breaks_min },
  }
}

const TEMPLATE = 'text with {m}, {ft} or both, and no other braces'
const labelTemplate = label.refine(
  (text) => /\{(?:m|ft)\}/.test(text) && !/[{}]/.test(text.replace(/\{(?:m|ft)\}/g, '')),
  { error: TEMPLATE },
)
const DATE_FORMAT = 'DD, MM and YYYY once each, with dots, slashes, hyphens or blanks between them'
const dateFormat = label.refine(
  (text) =>
    /^(?:DD|MM|YYYY)[./ -]{1,2}(?:DD|MM|YYYY)[./ -]{1,2}(?:DD|MM|YYYY)\.?$/.test(text) &&
    ['DD', 'MM', 'YYYY'].every((part) => text.includes(part)),
  { error: DATE_FORMAT },
)

/** markets.json as it stands in the file. */
export const MARKET_SHAPE = byKey(
  anId,
  group({
    name: label,
    order_unit: among('m', 'ft'),
    label_template: labelTemplate,
    words: group({ drum: label, coil: label, jacket: label, lead: label, coax: label }),
    length_rule: among('never_short', 'batch_mean_2pct', 'no_unit_overstated'),
    length_rule_source: label,
    date_format: dateFormat,
    decimal_mark: among('.', ','),
    wood_rule: among('none', 'ispm15'),
  }),
)

export function marketsFrom(json: z.infer<typeof MARKET_SHAPE>): Market[] {
  return Object.entries(json).map(([market, entry]) => ({
    market,
    name: entry.name,
    orderUnit: entry.order_unit,
    labelTemplate: entry.label_template,
    words: entry.words,
    lengthRule: entry.length_rule,
    lengthRuleSource: entry.length_rule_source,
    dateFormat: entry.date_format,
    decimalMark: entry.decimal_mark,
    woodRule: entry.wood_rule,
  }))
}

/** costs.json as it stands in the file. */
export const COST_SHAPE = group({
  currency: among('EUR'),
  copper_now_eur_kg: from0,
  copper_in_list_eur_kg: from0,
  list_price_eur_m: byKey(anId, from0),
  material_cost_eur_m: byKey(anId, from0),
  scrap_return_ratio_of_copper: from0,
  carrying_ratio_per_year: from0,
  space_eur_per_position_month: from0,
  complaint_fixed_eur: from0,
  late_penalty_eur_per_day_line: from0,
  drum_change_eur: from0,
  label_eur: from0,
  carton_eur: group({ S: from0, M: from0, L: from0 }),
  pallet_eur: byKey(label, from0),
  film_eur_kg: from0,
  electricity_eur_kwh: from0,
  strap_eur_m: from0,
})

/** Keys come from the file, so the tables by key have no prototype: a cable may be called `constructor`. */
function table(entries: Record<string, number>): Record<string, number> {
  return Object.assign(Object.create(null), entries) as Record<string, number>
}

export function costsFrom(json: z.infer<typeof COST_SHAPE>): Costs {
  return {
    currency: json.currency,
    copperNowEurKg: json.copper_now_eur_kg,
    copperInListEurKg: json.copper_in_list_eur_kg,
    listPriceEurM: table(json.list_price_eur_m),
    materialCostEurM: table(json.material_cost_eur_m),
    scrapReturnRatioOfCopper: json.scrap_return_ratio_of_copper,
    carryingRatioPerYear: json.carrying_ratio_per_year,
    spaceEurPerPositionMonth: json.space_eur_per_position_month,
    complaintFixedEur: json.complaint_fixed_eur,
    latePenaltyEurPerDayLine: json.late_penalty_eur_per_day_line,
    drumChangeEur: json.drum_change_eur,
    labelEur: json.label_eur,
    cartonEur: json.carton_eur,
    palletEur: table(json.pallet_eur),
    filmEurKg: json.film_eur_kg,
    electricityEurKwh: json.electricity_eur_kwh,
    strapEurM: json.strap_eur_m,
  }
}
