import { UM_PER_M } from '../quantity/length.ts'
import { figureText } from '../quantity/length-text.ts'
import type { LineLimit } from './line-limit.ts'
import type { MountingSettings } from './mounting-settings.ts'

/** One setting in words: what is set, why so, and whence. */
export interface SettingRow {
  name: string
  text: string
  why: string
}

const figure = (value: number, decimals = 1) => figureText(value, decimals)
const orUnknown = (value: number | null, unit: string, decimals = 1) =>
  value === null ? 'not known' : `${figure(value, decimals)} ${unit}`

/** The settings of a mounting in the order in which they are made. */
export function settingRows(s: MountingSettings): SettingRow[] {
  return [
    {
      name: 'Tension',
      text: `${figure(s.tensionN)} N, dancer force ${figure(s.payoff.dancerForceN)} N${s.fullTensionN < s.tensionN ? `; down to ${figure(s.fullTensionN)} N on the outermost layer` : ''}`,
      why: bindingText(s, 'tension'),
    },
    {
      name: 'Pull',
      text: `${orUnknown(s.leastN, 'N')} to ${orUnknown(s.mostN, 'N')} with the ramps; ${orUnknown(s.permittedN, 'N')} permitted${permittedBy(s)}`,
      why: s.payoff.source,
    },
    {
      name: 'Speed',
      text: `${figure(s.speedMPerMin)} m/min${s.worthMPerMin < s.speedMPerMin ? ` (above ${figure(s.worthMPerMin)} hardly any time is gained)` : ''}`,
      why: bindingText(s, 'speed'),
    },
    {
      name: 'Ramp',
      text: `up ${figure(s.rampMPerS2, 3)}, down ${figure(s.slowDownMPerS2, 3)} m/s²; stops in ${figure(s.stopM)} m, emergency stop in ${figure(s.estopM)} m`,
      why: `${bindingText(s, 'ramp')}; ${bindingText(s, 'slow-down')}`,
    },
    payoffRow(s),
    ...sparkRows(s),
    {
      name: 'Stop',
      text: `overrun ${figure(s.overrunM * 1000)} mm in the presets, spread ${figure(s.stopSdM * 1000)} mm`,
      why: s.overrunLearned
        ? 'learned from recorded runs'
        : 'expected from the ramp out of creep; none learned yet',
    },
    {
      name: 'Time',
      text: `${figure(s.minutes, 0)} min`,
      why: `mounting ${figure(s.mountMinutes, 0)}, put-ups ${figure(s.putupMinutes, 0)}, running ${figure(s.runMinutes, 0)}, cutting, tying and labelling ${figure(s.handlingMinutes, 0)}`,
    },
  ]
}

function payoffRow(s: MountingSettings): SettingRow {
  const { driven, drivenSource, rpm, undrivenRampN, dancerNeedPct, states } = s.payoff
  const diameters = states.map((state) => figure(state.radiusM * 2000, 0)).join(' to ')
  return {
    name: 'Pay-off',
    text: `${driven ? 'driven' : 'not driven'}, ${rpm.length > 0 ? `${rpm.map((r) => figure(r, 0)).join(' to ')} turns/min on ${diameters} mm` : 'winding diameter not known'}; dancer needs ${dancerNeedPct === null ? 'an unknown share' : `${figure(dancerNeedPct)} %`} of its travel`,
    why: `${drivenSource}; ${
      driven
        ? `not driven, the cable would see ${orUnknown(undrivenRampN, 'N', 0)} in the line's own ramp`
        : `brake ${orUnknown(s.payoff.brakeTorqueNm, 'N m')}, ${figure(s.payoff.brakeHeatW, 0)} W`
    }`,
  }
}

function sparkRows(s: MountingSettings): SettingRow[] {
  const { spark } = s
  const published =
    spark.publishedMinKv === null
      ? 'no published least voltage seen for this wall'
      : `published least ${figure(spark.publishedMinKv)} kV (${spark.publishedSource})`
  const cycles = `${orUnknown(spark.dwellCycles, 'cycles')} in the electrode, ${orUnknown(spark.minDwellCycles, 'wanted')}`
  return [
    {
      name: 'Spark test',
      text: `${figure(spark.kv)} kV rms; ${cycles}; pinholes below ${figure(spark.resolvingM, 2)} m apart count as one`,
      why: `the works' controlled setting; ${published}`,
    },
    {
      name: 'Not tested',
      text:
        spark.untested.length === 0
          ? 'nothing'
          : spark.untested
              .map(
                (u) =>
                  `${metres(u.fromUm)} to ${metres(u.toUm)} m${u.holds.length > 0 ? ` (cut ${u.holds.join(', ')})` : ''}`,
              )
              .join('; '),
      why:
        spark.heldCuts.length === 0
          ? 'only scrap lies there, or it is tested otherwise'
          : 'held until it has been tested',
    },
    {
      name: 'Tester check',
      text: `${spark.check.due === null ? 'done today' : `due before the run: ${spark.check.due}`}`,
      why: 'artificial fault through at line speed: seen, stopped, counted; voltage against a meter; bond continuous; write it down',
    },
    {
      name: 'Earth',
      text: 'inner and outer conductor to earth at the drum before the voltage is on',
      why: `not bonded, the cable on the drum may hold up to ${orUnknown(spark.storedEnergyJ, 'J')} (½CV² at the crest): discharge, then touch`,
    },
  ]
}

const metres = (um: number) => figure(um / UM_PER_M, 2)

/** The limit of pull that is reached first. */
function permittedBy(s: MountingSettings): string {
  const by = s.limits.find((l) => l.on === 'tension' && l.value !== null && l.value === s.permittedN)
  return by ? ` by the ${by.name}` : ''
}

/** Which limit sets a figure. */
function bindingText(s: MountingSettings, on: LineLimit['on']): string {
  const found = s.limits.filter((l) => l.on === on && l.binding)
  return found.map((l) => `${l.name} (${l.source})`).join('; ') || 'no limit is reached'
}

/** What is to be said aloud: broken limits, held pieces, limits that are not known. */
export function settingWarnings(s: MountingSettings): string[] {
  const broken = s.limits
    .filter((l) => l.broken)
    .map(
      (l) =>
        `${capital(l.name)}: ${figure(l.value!, 2)} ${l.unit} at ${l.sense}, but ${figure(l.used!, 2)} ${l.unit} here (${l.source}).`,
    )
  const held = s.spark.untested
    .filter((u) => u.holds.length > 0)
    .map(
      (u) =>
        `No spark test on record from ${metres(u.fromUm)} to ${metres(u.toUm)} m (cut ${u.holds.join(', ')}). ${u.cover}`,
    )
  const suspect = s.spark.check.suspicions.map(
    (x) =>
      `The spark tester failed its check of ${x.failedAt} (${x.failed.join(', ')}): suspect ${x.lastGoodAt === null ? 'is all that it passed' : `since ${x.lastGoodAt}`}: ${x.pieces.map((p) => p.serial).join(', ') || 'no piece on record'}.`,
  )
  const unknown = s.limits.filter(
    (l) => l.value === null && l.name !== 'published least voltage for the wall',
  )
  return [
    ...broken,
    ...held,
    ...suspect,
    ...(unknown.length > 0
      ? [
          `Not known, and so not kept watch over: ${unknown.map((l) => `${l.name} (${l.source})`).join('; ')}.`,
        ]
      : []),
    ...(s.counterErrorRatio === null
      ? ["The counter's error is not known: the presets are not corrected."]
      : []),
  ]
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1)
}
