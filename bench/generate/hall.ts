import type { CableType } from '../../src/cable/cable-type.ts'
import type { BenchHall } from '../../src/hall/bench.ts'
import type { Costs } from '../../src/hall/costs.ts'
import type { Market } from '../../src/hall/market.ts'
import type { RewindingLine } from '../../src/hall/rewinding-line.ts'
import type { WorksSite } from '../../src/hall/works-site.ts'
import type { Putup } from '../../src/putup/putup.ts'

/** An invented hall: lines, put-ups, benches, markets, rates. Demo figures, no real works. */

const coil = (mm: number, traverseMm: number, payloadKg: number, costEur: number): Putup => ({
  putup: `C-${mm}`,
  kind: 'coil',
  material: 'tied',
  flangeMm: null,
  barrelMm: mm,
  traverseMm,
  tareKg: 0,
  payloadKg,
  costEur,
  woodMark: 'not_wood',
  cover: 'shrink film',
})

type Size = [flangeMm: number, barrelMm: number, traverseMm: number, tareKg: number, payloadKg: number]
const drum = (
  putup: string,
  kind: Putup['kind'],
  material: string,
  size: Size,
  costEur: number,
  woodMark: Putup['woodMark'],
): Putup => {
  const [flangeMm, barrelMm, traverseMm, tareKg, payloadKg] = size
  const cover = kind === 'process_drum' ? null : material === 'wood' ? 'wood lagging' : 'stretch film'
  return {
    putup,
    kind,
    material,
    flangeMm,
    barrelMm,
    traverseMm,
    tareKg,
    payloadKg,
    costEur,
    woodMark,
    cover,
  }
}

export const PUTUPS: Putup[] = [
  coil(200, 60, 12, 0.22),
  coil(300, 90, 20, 0.32),
  coil(400, 115, 24, 0.42),
  drum('BB-180', 'bobbin', 'plywood', [180, 75, 140, 0.3, 11], 1.05, 'plywood_exempt'),
  drum('PD-320', 'drum', 'plastic', [320, 120, 210, 0.9, 28], 3.3, 'not_wood'),
  drum('PD-420', 'drum', 'plastic', [420, 170, 250, 1.7, 64], 5.6, 'not_wood'),
  drum('PD-520', 'drum', 'plastic', [520, 230, 310, 3.2, 115], 10.2, 'not_wood'),
  drum('WD-620', 'drum', 'wood', [620, 270, 390, 9, 210], 14.5, 'ht_marked'),
  drum('WD-850', 'drum', 'wood', [850, 420, 500, 24, 470], 28, 'ht_marked'),
  drum('WD-1100', 'drum', 'wood', [1100, 520, 640, 48, 900], 49, 'ht_marked'),
  drum('WU-1100', 'drum', 'wood', [1100, 520, 640, 46, 900], 40, 'unmarked'),
  drum('PR-1200', 'process_drum', 'steel', [1200, 600, 850, 128, 2600], 0, 'not_wood'),
  drum('PR-1500', 'process_drum', 'steel', [1500, 700, 1000, 190, 4200], 0, 'not_wood'),
]

/** Id, diameters, largest drum, greatest mass, rate, minutes of change (put-up, drum, cable), take-up list. */
const SMALL: LineFigures = {
  id: 'WL-A',
  odMm: [2, 9],
  maxDrumMm: 1300,
  maxKg: 210,
  rateEurH: 60,
  minutes: [0.6, 4, 9, 16],
  vMaxMMin: 300,
  takeup: ['C-200', 'C-300', 'BB-180', 'PD-320', 'PD-420'],
}
const LARGE: LineFigures = {
  id: 'WL-B',
  odMm: [5, 17],
  maxDrumMm: 1700,
  maxKg: 4000,
  rateEurH: 72,
  minutes: [1.2, 7, 14, 24],
  vMaxMMin: 150,
  takeup: ['C-200', 'C-300', 'C-400', 'PD-320', 'PD-420', 'PD-520', 'WD-620', 'WD-850', 'WD-1100', 'WU-1100'],
}
const MIDDLE: LineFigures = {
  id: 'WL-C',
  odMm: [2, 12],
  maxDrumMm: 1300,
  maxKg: 700,
  rateEurH: 66,
  minutes: [0.9, 5, 11, 19],
  vMaxMMin: 220,
  takeup: ['C-200', 'C-300', 'C-400', 'PD-320', 'PD-420', 'PD-520', 'WD-620'],
}

interface LineFigures {
  id: string
  odMm: [number, number]
  maxDrumMm: number
  maxKg: number
  rateEurH: number
  minutes: [number, number, number, number]
  vMaxMMin: number
  takeup: string[]
}

function rewindingLine(figures: LineFigures): RewindingLine {
  const [sameCableSamePutup, sameCableNewPutup, newDrumSameCable, newCable] = figures.minutes
  return {
    id: figures.id,
    odMinMm: figures.odMm[0],
    odMaxMm: figures.odMm[1],
    vMaxMMin: figures.vMaxMMin,
    vCreepMMin: 7,
    accelMS2: 0.5,
    decelMS2: 0.6,
    estopDecelMS2: 2,
    payoffMaxDrumMm: figures.maxDrumMm,
    payoffMaxKg: figures.maxKg,
    dancer: {
      falls: 4,
      travelM: 0.6,
      storedM: 4.4,
      forceMinN: 8,
      forceMaxN: 300,
      centrePct: 50,
      limitLowPct: 10,
      limitHighPct: 90,
    },
    counter: {
      kind: 'measuring wheel with pinch roller',
      wheelCircMm: 500,
      pulsesPerTurn: 2000,
      claimedErrorRatio: 0.001,
    },
    spark: { kind: 'AC 50 Hz bead chain', electrodeMm: 600, kvMin: 1, kvMax: 15, tripMa: 5, toCutterM: 3.5 },
    diameterGauge: { axes: 2, rateHz: 1000, toCutterM: 4.5 },
    takeupPutups: figures.takeup,
    stopSdM: 0.02,
    changeoverMin: { sameCableSamePutup, sameCableNewPutup, newDrumSameCable, newCable },
    cutTieLabelS: { coil: 80, bobbin: 100, drum: 220 },
    rateEurH: figures.rateEurH,
  }
}

export function worksSite(name: string, todayDate: string, types: number): WorksSite {
  const figures = types > 12 ? [SMALL, LARGE, MIDDLE] : [SMALL, LARGE]
  return {
    works: { name, town: 'Ossenfell (invented)', todayDate },
    lines: figures.map(rewindingLine),
    oven: {
      id: 'OV-1',
      kind: 'shrink tunnel, belt',
      tempC: 165,
      beltMMin: 6,
      chamberM: 1.2,
      powerKw: 18,
      film: {
        material: 'LDPE shrink',
        thicknessUm: 60,
        shrinkMdPct: 60,
        shrinkTdPct: 20,
        widthsMm: [400, 600, 800],
        priceEurKg: 2.6,
        densityKgDm3: 0.923,
      },
    },
    rollerCircumferencesM: { 'WL-A_wheel': 0.5, 'WL-B_capstan': 1.885, jacket_line_capstan: 2.513 },
    cutRules: {
      lengthGuardRatio: 0.001,
      pieceTrimUm: 300_000,
      leadTrimUm: 20_000,
      faultMarginUm: 250_000,
      outerEndLossProcessDrumUm: 5_000_000,
      outerEndLossRemnantUm: 500_000,
      innerEndLossProcessDrumUm: 500_000,
      uncappedEndCutUm: 2_000_000,
      minCleanSegmentUm: 500_000,
    },
    putupRules: {
      pitchFactor: 1.03,
      layerFactor: 0.95,
      fillFactor: 0.95,
      clearanceMinMm: 25.4,
      clearanceOdFactor: 1,
      coilBuildMaxMm: 60,
      coilLayersMax: 6,
    },
  }
}

export const BENCH_HALL: BenchHall = {
  benches: [
    { id: 'K1', kind: 'cut and strip', can: ['cut', 'strip'], interfaces: [], rateEurH: 33 },
    { id: 'K2', kind: 'crimp', can: ['crimp', 'compression'], interfaces: ['BNC', 'F', 'N'], rateEurH: 34 },
    { id: 'K3', kind: 'solder', can: ['solder', 'crimp_solder_pin'], interfaces: ['N', 'SMA'], rateEurH: 36 },
    { id: 'K4', kind: 'test and pack', can: ['continuity', 'hipot', 'pack'], interfaces: [], rateEurH: 41 },
  ],
  people: [
    { id: 'P1', role: 'line operator', skills: ['WL-A', 'WL-B', 'OV-1'] },
    { id: 'P2', role: 'assembler', skills: ['K1', 'K2', 'K3'] },
    { id: 'P3', role: 'packer', skills: ['K4:pack', 'OV-1'] },
  ],
  shifts: { line: ['06:00-14:00', '14:00-22:00'], bench: ['07:00-15:30'], breaksMin: 45 },
}

const market = (
  id: string,
  orderUnit: 'm' | 'ft',
  labelTemplate: string,
  woodRule: Market['woodRule'],
  lengthRule: Market['lengthRule'],
): Market => ({
  market: id,
  name: `market ${id}`,
  orderUnit,
  labelTemplate,
  lengthRule,
  woodRule,
  words: { drum: 'drum', coil: 'coil', jacket: 'jacket', lead: 'lead', coax: 'coaxial cable' },
  lengthRuleSource: 'works rule',
  dateFormat: 'YYYY-MM-DD',
  decimalMark: '.',
})

export const MARKETS: Market[] = [
  market('HOME', 'm', '{m} m', 'none', 'batch_mean_2pct'),
  market('ISLE', 'm', '{m} m ({ft} ft)', 'ispm15', 'never_short'),
  market('FEET', 'ft', '{ft} ft ({m} m)', 'ispm15', 'no_unit_overstated'),
]

/** Material: conductor and plastic by mass plus a fixed share for running it. Demo figures. */
export function costsOf(cables: CableType[]): Costs {
  const material = (c: CableType) =>
    Number((0.08 + (c.copperKgKm * 8.4 + c.plasticKgKm * 1.9) / 1000).toFixed(3))
  return {
    currency: 'EUR',
    copperNowEurKg: 9.1,
    copperInListEurKg: 7,
    listPriceEurM: Object.fromEntries(cables.map((c) => [c.cable, Number((material(c) * 1.79).toFixed(2))])),
    materialCostEurM: Object.fromEntries(cables.map((c) => [c.cable, material(c)])),
    scrapReturnRatioOfCopper: 0.45,
    carryingRatioPerYear: 0.12,
    spaceEurPerPositionMonth: 3.5,
    complaintFixedEur: 180,
    latePenaltyEurPerDayLine: 6,
    drumChangeEur: 14,
    labelEur: 0.06,
    cartonEur: { S: 0.55, M: 0.95, L: 1.6 },
    palletEur: { standard: 9.5, ht_marked: 14 },
    filmEurKg: 2.6,
    electricityEurKwh: 0.19,
    strapEurM: 0.03,
  }
}
