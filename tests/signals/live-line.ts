import { cp, readFile, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { onTestFinished } from 'vitest'
import type { CommandBody } from '../../src/ledger/command.ts'
import type { App } from '../../src/server/app.ts'
import { loadWithMore, readWholeFolder, recordedWorks } from '../../src/server/kept-more.ts'
import type { SimulatedTruth } from '../../src/signals/simulator/simulated-line.ts'
import { simulatedSetup } from '../../src/signals/simulator/simulated-setup.ts'
import { Simulator } from '../../src/signals/simulator/simulator.ts'
import type { CommandOutcome, LineSignals } from '../../src/works/floor-api.ts'
import { DEMO } from '../support/demo.ts'
import { emptyFolder } from '../support/empty-folder.ts'

let keys = 0

export async function book(app: App, body: CommandBody): Promise<CommandOutcome> {
  const command = {
    ...{ key: `t.${++keys}`, at: new Date().toISOString(), station: 'test', planId: null, corrects: null },
    body,
  }
  const answer = await app.http.inject({
    ...{ method: 'POST', url: '/api/ledger/commands' },
    payload: { commands: [command], late: false },
  })
  const [outcome] = (answer.json() as { outcomes: CommandOutcome[] }).outcomes
  if (!outcome || !('event' in outcome)) throw new Error(answer.body)
  return outcome
}

export async function shows(app: App, line: string): Promise<LineSignals> {
  return (await app.http.inject({ url: `/api/floor/signals?line=${line}` })).json() as LineSignals
}

/** The demo with one line switched on, at the ports of a simulator that runs it. */
export async function liveFolder(line: string, simulator: Simulator): Promise<string> {
  const folder = join(await emptyFolder(), 'live')
  await cp(DEMO, folder, { recursive: true })
  const file = join(folder, 'more', 'signals.csv')
  const rows = (await readFile(file, 'utf8'))
    .split('\r\n')
    .map((row) =>
      row.startsWith(`${line},`)
        ? row
            .replace(',no,', ',yes,')
            .replace('127.0.0.1:15021', `127.0.0.1:${simulator.modbusPort}`)
            .replace('127.0.0.1:18832', `127.0.0.1:${simulator.mqttPort}`)
        : row,
    )
  await writeFile(file, rows.join('\r\n'))
  return folder
}

export async function simulated(line: string, seed: number) {
  const loaded = loadWithMore(await readWholeFolder(DEMO))
  const setup = simulatedSetup(recordedWorks(loaded), line, null, seed, new Set(['sparks'] as const))
  const truth: SimulatedTruth[] = []
  const simulator = await Simulator.start(
    {
      line: setup,
      signals: loaded.more.signals.signals!.filter((signal) => signal.line === line),
      ...{ modbusPort: 0, mqttPort: 0, speedUp: 20, clockAheadMs: 0, clockDriftPpm: 0, silences: [] },
    },
    (event) => truth.push(event),
  )
  onTestFinished(() => simulator.close())
  const drums = loaded.works.drums.filter((d) => d.kind === 'process_drum' && d.status === 'free')
  const onLine = loaded.works.site.lines.find(({ id }) => id === line)!
  const drum = drums.find((d) => {
    const od = loaded.works.cables.find((c) => c.cable === d.cable)!.odMm
    return od >= onLine.odMinMm && od <= onLine.odMaxMm && d.bookUm > 600e6
  })!
  return { simulator, truth, drum: drum.drum }
}
