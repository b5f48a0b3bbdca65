import { loadWorks } from '../../src/server/load-works.ts'
import { readWorksFolder } from '../../src/server/read-works-folder.ts'
import { DEMO } from '../support/demo.ts'

/** The demo works: invented, so its figures are checked against formulas, never taken for truth. */
export const { works } = loadWorks(await readWorksFolder(DEMO))

export const cableOf = (id: string) => works.cables.find((c) => c.cable === id)!
export const connectorOf = (id: string) => works.connectors.find((c) => c.part === id)!
