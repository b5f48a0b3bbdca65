/** Why metres were lost, as written on the scrap card. Common practice of the trade. */
export const SCRAP_CAUSES = ['end', 'fault', 'threading', 'spoiled', 'short rest', 'return', 'other'] as const

export type ScrapCause = (typeof SCRAP_CAUSES)[number]
