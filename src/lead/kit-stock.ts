/** Loose parts in the store. A row of more/kit_stock.csv. */
export interface KitStock {
  /** A connector of connectors.csv, or any other part of a kit. */
  part: string
  lot: string
  receivedDate: string
  pieces: number
}

/** What goes into a lead besides cable and connectors: sleeves, boots, bags, labels. A row of more/kit_parts.csv. */
export interface KitPart {
  part: string
  what: string
  /** Connector at whose end it goes; null: it goes with every lead. */
  connector: string | null
  /** Pieces for each end with that connector, or for each lead. */
  pieces: number
}
