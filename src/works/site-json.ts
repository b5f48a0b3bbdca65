import type { z } from 'zod'
import type { RewindingLine } from '../hall/rewinding-line.ts'
import type { WorksSite } from '../hall/works-site.ts'
import { umFromM } from '../quantity/length.ts'
import {
  above0,
  aDate,
  anId,
  anyNumber,
  byKey,
  from0,
  group,
  label,
  lengthAbove0,
  lengthFrom0,
  list,
  wholeAbove0,
} from './json-shapes.ts'

const mm = above0.max(1e8)
const pct = from0.max(100, { error: 'a percentage from 0 to 100' })

const LINE = group({
  id: anId,
  od_min_mm: from0,
  od_max_mm: mm,
  v_max_m_min: above0,
  v_creep_m_min: above0,
  accel_m_s2: above0,
  decel_m_s2: above0,
  estop_decel_m_s2: above0,
  payoff_max_drum_mm: from0,
  payoff_max_kg: from0,
  dancer: group({
    falls: from0,
    travel_m: lengthFrom0,
    stored_m: lengthFrom0,
    force_min_n: from0,
    force_max_n: from0,
    centre_pct: pct,
    limit_low_pct: pct,
    limit_high_pct: pct,
  }),
  counter: group({
    kind: label,
    wheel_circ_mm: mm,
    pulses_per_turn: wholeAbove0,
    claimed_error_ratio: from0,
  }),
  spark: group({
    kind: label,
    electrode_mm: from0,
    kv_min: from0,
    kv_max: from0,
    trip_ma: from0,
    to_cutter_m: lengthFrom0,
  }),
  diameter_gauge: group({ axes: wholeAbove0, rate_hz: above0, to_cutter_m: lengthFrom0 }),
  takeup_putups: list(anId),
  stop_sd_m: lengthFrom0,
  changeover_min: group({
    same_cable_same_putup: from0,
    same_cable_new_putup: from0,
    new_drum_same_cable: from0,
    new_cable: from0,
  }),
  cut_tie_label_s: group({ coil: from0, bobbin: from0, drum: from0 }),
  rate_eur_h: from0,
})

/** lines.json as it stands in the file. */
export const SITE_SHAPE = group({
  works: group({ name: label, town: label, today_date: aDate }),
  lines: list(LINE),
  oven: group({
    id: anId,
    kind: label,
    temp_c: anyNumber,
    belt_m_min: from0,
    chamber_m: lengthFrom0,
    power_kw: from0,
    film: group({
      material: label,
      thickness_um: from0,
      shrink_md_pct: pct,
      shrink_td_pct: pct,
      widths_mm: list(mm),
      price_eur_kg: from0,
      density_kg_dm3: from0,
    }),
  }),
  roller_circumferences_m: byKey(label, lengthAbove0),
  cut_rules: group({
    length_guard_ratio: from0,
    piece_trim_m: lengthFrom0,
    lead_trim_m: lengthFrom0,
    fault_margin_m: lengthFrom0,
    outer_end_loss_process_drum_m: lengthFrom0,
    outer_end_loss_remnant_m: lengthFrom0,
    inner_end_loss_process_drum_m: lengthFrom0,
    uncapped_end_cut_m: lengthFrom0,
    min_clean_segment_m: lengthFrom0,
  }),
  putup_rules: group({
    pitch_factor: above0,
    layer_factor: above0,
    fill_factor: from0,
    clearance_min_mm: from0,
    clearance_od_factor: from0,
    coil_build_max_mm: from0,
    coil_layers_max: from0,
  }),
})

export type SiteJson = z.infer<typeof SITE_SHAPE>

/** lines.json as the rooms know it. */
export function siteFrom(json: SiteJson): WorksSite {
  const { works, oven, cut_rules: cut, putup_rules: putup } = json
  const { film } = oven
  return {
    works: { name: works.name, town: works.town, todayDate: works.today_date },
    lines: json.lines.map(lineFrom),
    oven: {
      id: oven.id,
      kind: oven.kind,
      tempC: oven.temp_c,
      beltMMin: oven.belt_m_min,
      chamberM: oven.chamber_m,
      powerKw: oven.power_kw,
      film: {
        material: film.material,
        thicknessUm: film.thickness_um,
        shrinkMdPct: film.shrink_md_pct,
        shrinkTdPct: film.shrink_td_pct,
        widthsMm: film.widths_mm,
        priceEurKg: film.price_eur_kg,
        densityKgDm3: film.density_kg_dm3,
      },
    },
    rollerCircumferencesM: json.roller_circumferences_m,
    cutRules: {
      lengthGuardRatio: cut.length_guard_ratio,
      pieceTrimUm: umFromM(cut.piece_trim_m),
      leadTrimUm: umFromM(cut.lead_trim_m),
      faultMarginUm: umFromM(cut.fault_margin_m),
      outerEndLossProcessDrumUm: umFromM(cut.outer_end_loss_process_drum_m),
      outerEndLossRemnantUm: umFromM(cut.outer_end_loss_remnant_m),
      innerEndLossProcessDrumUm: umFromM(cut.inner_end_loss_process_drum_m),
      uncappedEndCutUm: umFromM(cut.uncapped_end_cut_m),
      minCleanSegmentUm: umFromM(cut.min_clean_segment_m),
    },
    putupRules: {
      pitchFactor: putup.pitch_factor,
      layerFactor: putup.layer_factor,
      fillFactor: putup.fill_factor,
      clearanceMinMm: putup.clearance_min_mm,
      clearanceOdFactor: putup.clearance_od_factor,
      coilBuildMaxMm: putup.coil_build_max_mm,
      coilLayersMax: putup.coil_layers_max,
    },
  }
}

function lineFrom(line: SiteJson['lines'][number]): RewindingLine {
  const { dancer, counter, spark, diameter_gauge: gauge, changeover_min: change } = line
  return {
    id: line.id,
    odMinMm: line.od_min_mm,
    odMaxMm: line.od_max_mm,
    vMaxMMin: line.v_max_m_min,
    vCreepMMin: line.v_creep_m_min,
    accelMS2: line.accel_m_s2,
    decelMS2: line.decel_m_s2,
    estopDecelMS2: line.estop_decel_m_s2,
    payoffMaxDrumMm: line.payoff_max_drum_mm,
    payoffMaxKg: line.payoff_max_kg,
    dancer: {
      falls: dancer.falls,
      travelM: dancer.travel_m,
      storedM: dancer.stored_m,
      forceMinN: dancer.force_min_n,
      forceMaxN: dancer.force_max_n,
      centrePct: dancer.centre_pct,
      limitLowPct: dancer.limit_low_pct,
      limitHighPct: dancer.limit_high_pct,
    },
    counter: {
      kind: counter.kind,
      wheelCircMm: counter.wheel_circ_mm,
      pulsesPerTurn: counter.pulses_per_turn,
      claimedErrorRatio: counter.claimed_error_ratio,
    },
    spark: {
      kind: spark.kind,
      electrodeMm: spark.electrode_mm,
      kvMin: spark.kv_min,
      kvMax: spark.kv_max,
      tripMa: spark.trip_ma,
      toCutterM: spark.to_cutter_m,
    },
    diameterGauge: { axes: gauge.axes, rateHz: gauge.rate_hz, toCutterM: gauge.to_cutter_m },
    takeupPutups: line.takeup_putups,
    stopSdM: line.stop_sd_m,
    changeoverMin: {
      sameCableSamePutup: change.same_cable_same_putup,
      sameCableNewPutup: change.same_cable_new_putup,
      newDrumSameCable: change.new_drum_same_cable,
      newCable: change.new_cable,
    },
    cutTieLabelS: line.cut_tie_label_s,
    rateEurH: line.rate_eur_h,
  }
}
