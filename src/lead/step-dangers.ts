/** The two or three dangers of a step in the usual words (EN 50191:2010 for the high voltage; rosin fume as a sensitiser: common safety practice). */
export function dangersOf(step: string, task: string): string[] {
  const hot = [
    'Hot iron, 320 to 370 °C: stand, not bench; burns.',
    'Solder fume: extraction on; rosin sensitises. Wash hands where the solder holds lead.',
  ]
  const blades = ['Blades: away from the hand, guard shut, knife closed when not in the hand.']
  if (step === 'kit') return []
  if (step === 'cut' || step === 'strip' || step === 'trim')
    return [...blades, 'Cut ends and wire ends spring: glasses on.']
  if (step === 'hipot')
    return [
      'High voltage: guarded and interlocked place, nobody touches lead or clips while it is on.',
      'A lead keeps its charge: discharge it before touching.',
    ]
  if (step !== 'fit') return []
  const crimps = ['Crimping tool: fingers out of the jaws.']
  return (
    {
      crimp: crimps,
      crimp_solder_pin: [...hot, ...crimps],
      clamp_solder_pin: [...hot, 'Spanners slip: pull, do not push.'],
      solder: hot,
      compression: ['Compression tool: fingers out of the jaws.'],
    }[task] ?? []
  )
}
