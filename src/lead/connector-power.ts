/** Mean power that a connector may carry at 40 °C ambient. A row of more/connector_power.csv. */
export interface ConnectorPower {
  part: string
  fMhz: number
  powerMaxW: number
}
