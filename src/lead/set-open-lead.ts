/** A lead whose second connector is not on yet, measured in reflection from the first. A row of more/open_leads.csv. */
export interface OpenLead {
  serial: string
  cable: string
  lot: string
  /** On it, and measured through. */
  connA: string
  /** To come. */
  connB: string
  /** From the reference plane of A to the cut face and back, ps. */
  roundTripPs: number
  tempC: number
}
