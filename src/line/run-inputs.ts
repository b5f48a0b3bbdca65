/**
 * Every figure that the settings of one mounting rest on. Gathered from the works; any of them may be changed to see what
 * follows. null = not known: what needs it is then shown as unknown.
 */
export interface RunInputs {
  speedMaxMPerMin: number
  creepMPerMin: number
  accelMPerS2: number
  decelMPerS2: number
  estopMPerS2: number
  jerkMPerS3: number | null
  dancerFalls: number
  dancerTravelM: number
  dancerForceMinN: number
  dancerForceMaxN: number
  dancerCentrePct: number
  dancerLowPct: number
  dancerHighPct: number
  /** Cable from the drum to the electrode: dancer store and threading. */
  drumToSparkM: number
  payoffDriven: boolean
  /** Time by which the pay-off's speed lags the line's. */
  payoffLagS: number | null
  /** Tension gained per m/s² of ramp up and lost per m/s² of slowing down, and dancer cable per m/s² of ramp up, as a recorded run shows them. */
  rampPulledKg: number | null
  slowSlackKg: number | null
  rampCableS2: number | null
  /** Inertia of the drum without cable. */
  bareInertiaKgM2: number
  tensionN: number
  taperRatio: number
  pullMaxN: number | null
  copperStressNPerMm2: number
  copperModulusNPerMm2: number
  innerCopperMm2: number
  stretchEaKn: number | null
  sidewallNPerM: number | null
  bendMinRepeatedMm: number | null
  barrelMinMm: number | null
  /** Smallest barrel that the mounting winds on. */
  takeupBarrelMm: number | null
  capstanCircM: number | null
  sparkKv: number
  sparkHz: number | null
  electrodeMm: number
  sparkKvMin: number
  sparkKvMax: number
  sparkToCutterM: number
  minDwellCycles: number | null
  jacketWallMm: number
  capPfM: number | null
  /** Counter over true length, less 1. */
  counterErrorRatio: number | null
  overrunM: number | null
  stopSdM: number
  pieceTrimM: number
  /** Time in creep before the stop is ordered, and standard deviations of the stop kept besides. */
  creepS: number
  creepStopSds: number
  /** A higher speed must save this share of a piece's time to be worth running. */
  worthRatio: number
}

export type LineOverrides = Partial<RunInputs>
export type RunInput = keyof RunInputs

/** Inputs with the source of each that does not come from where it usually does. */
export interface KnownInputs extends RunInputs {
  sources: Partial<Record<RunInput, string>>
}

/** Where a figure comes from, in words. */
export function sourceOf(inputs: KnownInputs, name: RunInput): string {
  return inputs.sources[name] ?? INPUT_FACTS[name].source
}

interface InputFact {
  name: string
  unit: string
  source: string
  /** Least and greatest that make sense; `above`: the least itself does not. */
  least?: number
  above?: number
  most?: number
}

const CP = 'common practice of the trade; the works may change it'

/** What each is called, in which unit it counts, and where it comes from. */
export const INPUT_FACTS: Record<RunInput, InputFact> = {
  speedMaxMPerMin: {
    name: 'top speed of the line',
    unit: 'm/min',
    source: 'lines.json v_max_m_min',
    above: 0,
  },
  creepMPerMin: { name: 'creep speed', unit: 'm/min', source: 'lines.json v_creep_m_min', above: 0 },
  accelMPerS2: { name: 'ramp up of the line', unit: 'm/s²', source: 'lines.json accel_m_s2', above: 0 },
  decelMPerS2: { name: 'slow-down of the line', unit: 'm/s²', source: 'lines.json decel_m_s2', above: 0 },
  estopMPerS2: { name: 'emergency stop', unit: 'm/s²', source: 'lines.json estop_decel_m_s2', above: 0 },
  jerkMPerS3: { name: 'jerk limit of the drive', unit: 'm/s³', source: 'not in the works folder', above: 0 },
  dancerFalls: { name: 'falls of the dancer', unit: '', source: 'lines.json dancer.falls', least: 1 },
  dancerTravelM: { name: 'travel of the dancer', unit: 'm', source: 'lines.json dancer.travel_m', above: 0 },
  dancerForceMinN: {
    name: 'least dancer force',
    unit: 'N',
    source: 'lines.json dancer.force_min_n',
    least: 0,
  },
  dancerForceMaxN: {
    name: 'greatest dancer force',
    unit: 'N',
    source: 'lines.json dancer.force_max_n',
    above: 0,
  },
  dancerCentrePct: {
    name: 'dancer at rest',
    unit: '%',
    source: 'lines.json dancer.centre_pct',
    least: 0,
    most: 100,
  },
  dancerLowPct: {
    name: 'lower dancer limit',
    unit: '%',
    source: 'lines.json dancer.limit_low_pct',
    least: 0,
    most: 100,
  },
  dancerHighPct: {
    name: 'upper dancer limit',
    unit: '%',
    source: 'lines.json dancer.limit_high_pct',
    least: 0,
    most: 100,
  },
  drumToSparkM: {
    name: 'cable from drum to electrode',
    unit: 'm',
    source: "lines.json dancer.stored_m and the works' rule of 2 m threading",
    least: 0,
  },
  payoffDriven: { name: 'driven pay-off', unit: '', source: 'not in the works folder; taken as driven' },
  payoffLagS: { name: 'lag of the pay-off', unit: 's', source: 'not in the works folder', least: 0 },
  rampPulledKg: {
    name: 'pull of a ramp',
    unit: 'N per m/s²',
    source: 'recorded run of the line (line_run.csv)',
    least: 0,
  },
  slowSlackKg: {
    name: 'slack of slowing down',
    unit: 'N per m/s²',
    source: 'recorded run of the line (line_run.csv)',
    least: 0,
  },
  rampCableS2: {
    name: 'dancer cable in a ramp',
    unit: 'm per m/s²',
    source: 'recorded run of the line (line_run.csv)',
    least: 0,
  },
  bareInertiaKgM2: {
    name: 'inertia of the bare drum',
    unit: 'kg m²',
    source: 'estimate: tare as a hollow cylinder from barrel to flange, m/8·(D² + d²)',
    least: 0,
  },
  tensionN: { name: 'set winding tension', unit: 'N', source: 'cables.csv line_tension_n', above: 0 },
  taperRatio: {
    name: 'taper',
    unit: '',
    source: 'common practice 0 to 20 %; 20 % for foam, none for solid dielectric',
    least: 0,
    most: 0.5,
  },
  pullMaxN: { name: 'greatest pull of the type', unit: 'N', source: 'cables.csv pull_max_n', above: 0 },
  copperStressNPerMm2: { name: 'permitted stress in copper', unit: 'N/mm²', source: CP, above: 0 },
  copperModulusNPerMm2: {
    name: 'modulus of soft copper',
    unit: 'N/mm²',
    source: 'handbook figure from memory',
    above: 0,
  },
  innerCopperMm2: {
    name: 'section of the inner conductor',
    unit: 'mm²',
    source: 'cables.csv inner_strands, inner_wire_mm',
    above: 0,
  },
  stretchEaKn: { name: 'axial stiffness', unit: 'kN', source: 'cables.csv stretch_ea_kn', above: 0 },
  sidewallNPerM: {
    name: 'side-wall limit',
    unit: 'N per m of radius',
    source:
      '300 lb/ft, pulling-tension guide after the ICEA study; for power cable, none is published for foam coax',
    above: 0,
  },
  bendMinRepeatedMm: {
    name: 'repeated bend radius',
    unit: 'mm',
    source: 'cables.csv bend_min_repeated_mm',
    above: 0,
  },
  barrelMinMm: {
    name: 'smallest barrel of the type',
    unit: 'mm',
    source: 'cables.csv barrel_min_mm',
    above: 0,
  },
  takeupBarrelMm: { name: 'smallest barrel wound on', unit: 'mm', source: 'putups.csv barrel_mm', above: 0 },
  capstanCircM: {
    name: 'circumference of the capstan',
    unit: 'm',
    source: 'lines.json roller_circumferences_m',
    above: 0,
  },
  sparkKv: {
    name: 'spark test voltage',
    unit: 'kV rms',
    source: "cables.csv spark_kv_rms, the works' controlled setting",
    above: 0,
  },
  sparkHz: { name: 'frequency of the spark tester', unit: 'Hz', source: 'lines.json spark.kind', above: 0 },
  electrodeMm: {
    name: 'length of the electrode',
    unit: 'mm',
    source: 'lines.json spark.electrode_mm',
    above: 0,
  },
  sparkKvMin: {
    name: 'least voltage of the tester',
    unit: 'kV',
    source: 'lines.json spark.kv_min',
    least: 0,
  },
  sparkKvMax: {
    name: 'greatest voltage of the tester',
    unit: 'kV',
    source: 'lines.json spark.kv_max',
    above: 0,
  },
  sparkToCutterM: {
    name: 'electrode to cutter',
    unit: 'm',
    source: 'lines.json spark.to_cutter_m',
    least: 0,
  },
  minDwellCycles: {
    name: 'least cycles in the electrode',
    unit: 'cycles',
    source: '18 crests = 9 cycles, UL 1581/2556, from memory; confirm in the current standard',
    above: 0,
  },
  jacketWallMm: { name: 'jacket wall', unit: 'mm', source: 'cables.csv jacket_wall_mm', above: 0 },
  capPfM: { name: 'capacitance', unit: 'pF/m', source: 'cables.csv cap_pf_m', above: 0 },
  counterErrorRatio: {
    name: 'counter error',
    unit: '',
    source: 'counter_checks.csv, last ten checks of the line',
    above: -0.5,
    most: 0.5,
  },
  overrunM: {
    name: 'learned overrun',
    unit: 'm',
    source: 'recorded run of the line (line_run.csv)',
    least: 0,
  },
  stopSdM: { name: 'spread of the stop', unit: 'm', source: 'lines.json stop_sd_m', least: 0 },
  pieceTrimM: { name: 'trim of a piece', unit: 'm', source: 'lines.json cut_rules.piece_trim_m', least: 0 },
  creepS: { name: 'time in creep', unit: 's', source: 'estimate; the works may change it', least: 0 },
  creepStopSds: {
    name: 'stop spreads kept in creep',
    unit: '',
    source: 'estimate; the works may change it',
    least: 0,
  },
  worthRatio: {
    name: 'time worth saving',
    unit: '',
    source: 'estimate: 1 % of running and handling; the works may change it',
    least: 0,
    most: 1,
  },
}

/** Inputs that the works may set for a line beside the sixteen files: what those do not hold. */
export const WORKS_MAY_SET = [
  'jerkMPerS3',
  'payoffDriven',
  'payoffLagS',
  'bareInertiaKgM2',
  'taperRatio',
  'copperStressNPerMm2',
  'copperModulusNPerMm2',
  'sidewallNPerM',
  'minDwellCycles',
  'overrunM',
  'creepS',
  'creepStopSds',
  'worthRatio',
] as const satisfies RunInput[]

/** One figure that the works has set for a line, with its source. A row of more/line_settings.csv. */
export interface LineSetting {
  line: string
  input: (typeof WORKS_MAY_SET)[number]
  value: number | boolean
  source: string
}

/** Where nothing of the works says otherwise. */
export const DEFAULTS = {
  jerkMPerS3: null,
  payoffDriven: true,
  payoffLagS: null,
  foamTaperRatio: 0.2,
  /** TRADE practice: never above 50 N/mm² of copper. */
  copperStressNPerMm2: 50,
  copperModulusNPerMm2: 117_000,
  minDwellCycles: 9,
  creepS: 1,
  creepStopSds: 3,
  worthRatio: 0.01,
} as const
