/** A rewinding line with its counter, spark tester, dancer and what it can wind. An entry of lines.json `lines`. */
export interface RewindingLine {
  id: string
  odMinMm: number
  odMaxMm: number
  vMaxMMin: number
  vCreepMMin: number
  accelMS2: number
  decelMS2: number
  estopDecelMS2: number
  payoffMaxDrumMm: number
  payoffMaxKg: number
  dancer: {
    falls: number
    travelM: number
    storedM: number
    forceMinN: number
    forceMaxN: number
    centrePct: number
    limitLowPct: number
    limitHighPct: number
  }
  counter: { kind: string; wheelCircMm: number; pulsesPerTurn: number; claimedErrorRatio: number }
  spark: {
    kind: string
    electrodeMm: number
    kvMin: number
    kvMax: number
    tripMa: number
    toCutterM: number
  }
  diameterGauge: { axes: number; rateHz: number; toCutterM: number }
  /** Put-ups that the take-up can wind. */
  takeupPutups: string[]
  stopSdM: number
  changeoverMin: {
    sameCableSamePutup: number
    sameCableNewPutup: number
    newDrumSameCable: number
    newCable: number
  }
  cutTieLabelS: { coil: number; bobbin: number; drum: number }
  rateEurH: number
}
