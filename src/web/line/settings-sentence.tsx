import type { LineLimit } from '../../line/line-limit.ts'
import type { MountingSettings } from '../../line/mounting-settings.ts'
import { figureText } from '../../quantity/length-text.ts'

/** What sets a figure, in a few words. */
function boundBy(limits: LineLimit[], on: LineLimit['on']): string {
  const names = limits.filter((l) => l.on === on && l.binding).map((l) => l.name)
  return names.length > 0 ? names.join(' and ') : 'no limit is reached'
}

/** Speed, tension and spark test with what binds: the answer first. */
export function SettingsSentence({ settings: s, changed }: { settings: MountingSettings; changed: boolean }) {
  const cycles = s.spark.dwellCycles === null ? 'an unknown number of' : figureText(s.spark.dwellCycles, 1)
  return (
    <p className="sentence wraps" data-testid="settings-sentence">
      {changed ? 'As changed, run ' : 'Run '}
      {s.drum} on {s.line} at <strong>{figureText(s.speedMPerMin, 1)} m/min</strong> with{' '}
      <strong>{figureText(s.tensionN, 1)} N</strong>, spark test{' '}
      <strong>{figureText(s.spark.kv, 1)} kV</strong> rms ({cycles} cycles); about{' '}
      <strong>{figureText(s.minutes, 0)} min</strong>. Speed is set by: {boundBy(s.limits, 'speed')}. Tension
      by: {boundBy(s.limits, 'tension')}. Ramp by: {boundBy(s.limits, 'ramp')}.
    </p>
  )
}
