import { UM_PER_M } from '../../src/quantity/length.ts'
import type { Works } from '../../src/works/works.ts'

/** Writes a works as the sixteen files of the works folder contract. */

const COLUMNS = {
  'cables.csv':
    'cable,use,z0_nominal_ohm,inner_strands,inner_wire_mm,inner_od_mm,inner_eff_od_mm,dielectric,dielectric_od_mm,eps_r,tan_delta,solid_fraction,foil_material,foil_um,foil_sides,braid_carriers,braid_ends,braid_wire_mm,braid_material,braid_lay_mm,braid_angle_deg,braid_coverage_pct,over_braid_mm,jacket_material,jacket_wall_mm,jacket_colour,od_mm,od_tol_mm,mass_kg_km,copper_kg_km,plastic_kg_km,z0_calc_ohm,velocity_ratio,delay_ns_m,cap_pf_m,r_inner_ohm_km,r_outer_ohm_km,cutoff_ghz,f_max_mhz,bend_min_single_mm,bend_min_repeated_mm,barrel_min_mm,pull_max_n,line_tension_n,stretch_ea_kn,spark_kv_rms,hipot_core_kv_dc,att_k1_db_per_100m_per_sqrt_mhz,att_k2_db_per_100m_per_mhz,att_tol_plus_pct,velocity_lot_spread_pct,srl_min_db,min_keep_m',
  'attenuation.csv': 'cable,f_mhz,att_db_per_100m,power_max_w',
  'connectors.csv':
    'part,interface,standard,gender,z_ohm,cable,method,tip_to_cable_end_mm,tip_to_ref_plane_mm,strip_jacket_mm,strip_braid_mm,strip_dielectric_mm,ferrule_hex_af_mm,pin_method,torque_min_nm,torque_max_nm,f_max_ghz,rl_min_db,loss_coeff_db_per_sqrt_ghz,pull_min_n,price_eur,assembly_min_per_end,note',
  'putups.csv':
    'putup,kind,material,flange_mm,barrel_mm,traverse_mm,tare_kg,payload_kg,cost_eur,wood_mark,cover',
  'drums.csv':
    'drum,cable,lot,kind,putup,book_m,received_date,rewinds,location,status,gross_kg,tare_kg,end_caps,note',
  'marks.csv': 'drum,segment,from_m,to_m,mark_from,mark_to,print_unit',
  'faults.csv':
    'fault,drum,segment,code,what,severity,mark_from,mark_to,position_source,pos_unc_m,found_at,found_date',
  'orders.csv':
    'order,line,market,customer,channel,kind,cable,qty,length,unit,tol_minus_pct,tol_plus_pct,tol_minus_mm,tol_plus_mm,single_length,min_piece_m,max_parts,same_lot_group,faults_allowed,print_required,putup,conn_a,conn_b,length_definition,matched_set,match_kind,match_f_mhz,match_phase_tol_deg,match_delay_ns,match_delay_tol_ps,f_test_mhz,due_date,price_eur,note',
  'counter_checks.csv': 'date,line,cable,counter_m,tape_m,temp_c,tension_n,speed_m_min,person',
  'lead_tests.csv':
    'serial,cable,lot,conn_a,conn_b,length_m,f_test_mhz,delay_ps,phase_deg,il_db,rl_min_db,continuity,hipot_kv_dc,leak_ua,temp_c',
  'line_run.csv':
    'line,cable,target_m,t_s,v_set_m_s,v_m_s,count_m,takeup_turns,payoff_v_m_s,dancer_pct,tension_n,spark_kv,spark_ma,spark_event,od_x_mm,od_y_mm,state',
  'month_ledger.csv': 'cable,month,opening_m,received_m,shipped_m,scrap_m,samples_m,closing_counted_m',
} as const

type CsvName = keyof typeof COLUMNS

export function worksFiles(works: Works): Map<string, string> {
  const rows: Record<CsvName, object[]> = {
    'cables.csv': works.cables,
    'attenuation.csv': works.attenuation,
    'connectors.csv': works.connectors,
    'putups.csv': works.putups,
    'drums.csv': works.drums,
    'marks.csv': works.marks,
    'faults.csv': works.faults,
    'orders.csv': works.orders,
    'counter_checks.csv': works.counterChecks,
    'lead_tests.csv': works.leadTests,
    'line_run.csv': works.lineRun,
    'month_ledger.csv': works.monthLedger,
  }
  const files = new Map<string, string>()
  for (const name of Object.keys(COLUMNS) as CsvName[]) files.set(name, csv(COLUMNS[name], rows[name]))
  const json = (name: string, value: unknown) => files.set(name, `${JSON.stringify(value, null, 1)}\n`)
  json('lines.json', {
    ...(snakeKeys(works.site) as object),
    // names of rollers are data, not keys of ours
    roller_circumferences_m: works.site.rollerCircumferencesM,
  })
  json('benches.json', snakeKeys(works.benchHall))
  json(
    'markets.json',
    Object.fromEntries(works.markets.map(({ market, ...rest }) => [market, snakeKeys(rest) as object])),
  )
  const { listPriceEurM, materialCostEurM, cartonEur, palletEur, ...plain } = works.costs
  json('costs.json', {
    ...(snakeKeys(plain) as object),
    list_price_eur_m: listPriceEurM,
    material_cost_eur_m: materialCostEurM,
    carton_eur: cartonEur,
    pallet_eur: palletEur,
  })
  return files
}

function csv(header: string, rows: object[]): string {
  const columns = header.split(',')
  const lines = rows.map((row) =>
    columns.map((c) => quoted(cell(row as Record<string, unknown>, c))).join(','),
  )
  return `${[header, ...lines].join('\r\n')}\r\n`
}

/** The value of a record under a column's name: `book_m` is kept as `bookUm`, `length` as it was typed. */
function cell(row: Record<string, unknown>, column: string): string {
  const key = column.replace(/_([a-z0-9])/g, (_, c: string) => c.toUpperCase())
  if (column === 'length') return String(row.lengthTyped)
  const inUm = key.endsWith('M') ? row[`${key.slice(0, -1)}Um`] : undefined
  if (typeof inUm === 'number') return String(inUm / UM_PER_M)
  const value = row[key]
  if (value === null || value === undefined) return ''
  if (typeof value === 'boolean') return value ? 'yes' : 'no'
  return String(value)
}

function quoted(text: string): string {
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text
}

/** `vMaxMMin` → `v_max_m_min`; lengths held in micrometres become metres under a name in `_m`. */
function snakeKeys(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(snakeKeys)
  if (value === null || typeof value !== 'object') return value
  return Object.fromEntries(
    Object.entries(value).map(([key, inner]) => {
      const metres = key.endsWith('Um') && key !== 'thicknessUm'
      const name = (metres ? `${key.slice(0, -2)}M` : key).replace(/[A-Z]/g, (c) => `_${c.toLowerCase()}`)
      return [name, metres ? (inner as number) / UM_PER_M : snakeKeys(inner)]
    }),
  )
}
