/** How the works reckons the capacity of a put-up. lines.json `putup_rules`. */
export interface PutupRules {
  pitchFactor: number
  layerFactor: number
  fillFactor: number
  clearanceMinMm: number
  clearanceOdFactor: number
  coilBuildMaxMm: number
  coilLayersMax: number
}
