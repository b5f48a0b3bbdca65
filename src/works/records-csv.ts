import type { LeadTest } from '../lead/lead-test.ts'
import type { MonthBalance } from '../ledger/month-balance.ts'
import type { RunSample } from '../line/run-sample.ts'
import type { CounterCheck } from '../measure/counter-check.ts'
import {
  type Columns,
  choice,
  date,
  id,
  metres,
  month,
  notNegative,
  number,
  positive,
  ref,
} from './column.ts'
import { MAX_LENGTH_M } from './works-files.ts'

export const COUNTER_CHECK_COLUMNS: Columns<CounterCheck> = {
  date: date('date'),
  line: ref('line', 'lines.json'),
  cable: ref('cable', 'cables.csv'),
  counterM: metres('counter_m'),
  tapeM: metres('tape_m'),
  tempC: number('temp_c'),
  tensionN: notNegative('tension_n'),
  speedMMin: positive('speed_m_min'),
  person: ref('person', 'benches.json'),
}

export const LEAD_TEST_COLUMNS: Columns<LeadTest> = {
  serial: id('serial'),
  cable: ref('cable', 'cables.csv'),
  lot: id('lot'),
  connA: ref('conn_a', 'connectors.csv'),
  connB: ref('conn_b', 'connectors.csv'),
  lengthM: metres('length_m'),
  fTestMhz: positive('f_test_mhz'),
  delayPs: positive('delay_ps'),
  phaseDeg: number('phase_deg', { from: 0, to: 360 }),
  ilDb: positive('il_db'),
  rlMinDb: positive('rl_min_db'),
  continuity: choice('continuity', 'pass', 'fail'),
  hipotKvDc: positive('hipot_kv_dc'),
  leakUa: notNegative('leak_ua'),
  tempC: number('temp_c'),
}

export const RUN_COLUMNS: Columns<RunSample> = {
  line: ref('line', 'lines.json'),
  cable: ref('cable', 'cables.csv'),
  targetM: metres('target_m'),
  tS: notNegative('t_s'),
  vSetMS: notNegative('v_set_m_s'),
  vMS: notNegative('v_m_s'),
  countM: notNegative('count_m', MAX_LENGTH_M),
  takeupTurns: notNegative('takeup_turns'),
  payoffVMS: number('payoff_v_m_s'),
  dancerPct: number('dancer_pct'),
  tensionN: number('tension_n'),
  sparkKv: notNegative('spark_kv'),
  sparkMa: notNegative('spark_ma'),
  sparkEvent: number('spark_event', { from: 0, to: 1, whole: true }),
  odXMm: positive('od_x_mm', 1e8),
  odYMm: positive('od_y_mm', 1e8),
  state: choice('state', 'RUN', 'STOP'),
}

/** The metres of a month are sums over many lengths, so the limit of one length does not bind them. */
export const MONTH_COLUMNS: Columns<MonthBalance> = {
  cable: ref('cable', 'cables.csv'),
  month: month('month'),
  openingM: notNegative('opening_m'),
  receivedM: notNegative('received_m'),
  shippedM: notNegative('shipped_m'),
  scrapM: notNegative('scrap_m'),
  samplesM: notNegative('samples_m'),
  closingCountedM: notNegative('closing_counted_m'),
}
