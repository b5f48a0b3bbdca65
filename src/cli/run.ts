import { basename } from 'node:path'
import type { Command } from 'commander'
import { type PieceReport, type RunAnalysis, replayRun } from '../line/replay/run-analysis.ts'
import { runSetup } from '../line/replay/run-setup.ts'
import type { TimeSplit } from '../line/replay/time-split.ts'
import type { RunSample } from '../line/run-sample.ts'
import { LastmetreError } from '../quantity/errors.ts'
import { figureText } from '../quantity/length-text.ts'
import { loadWorks } from '../server/load-works.ts'
import { readWorksFolder } from '../server/read-works-folder.ts'
import { InputRefused } from '../server/refusal.ts'
import { readRunRecord } from '../works/run-record.ts'
import type { Works } from '../works/works.ts'
import { EXIT } from './exit-codes.ts'
import { printable } from './print.ts'
import { namedFile } from './read-file.ts'

interface RunOptions {
  file?: string
  json: boolean
}

export function addRun(program: Command, help: string, done: (code: number) => void): void {
  program
    .command('run')
    .description(
      'read back a recorded run: slip, lumps, sparks and where they lie, tension, dancer, where the time went',
    )
    .argument('<folder>', 'works folder')
    .option('--file <csv>', 'a record of the form of line_run.csv; without it the one of the works folder')
    .option('--json', 'print the findings for machines on standard output', false)
    .addHelpText('after', help)
    .action(async (folder: string, options: RunOptions) => {
      done(await replayFolder(folder, options))
    })
}

async function replayFolder(folder: string, { file, json }: RunOptions): Promise<number> {
  const { works } = loadWorks(await readWorksFolder(folder))
  const record = file === undefined ? works.lineRun : await recordOf(file, works)
  const runs = runsOf(record).map((samples) => {
    const setup = runSetup(works, samples[0]!)
    if (!setup)
      throw new LastmetreError('run-refused', 'The record names a line or a cable that there is not.')
    return replayRun(samples, setup).analysis
  })
  if (json) process.stdout.write(`${JSON.stringify(runs, toMicro)}\n`)
  else process.stdout.write(`${runs.flatMap(asText).map(printable).join('\n')}\n`)
  return EXIT.ok
}

async function recordOf(file: string, works: Works): Promise<RunSample[]> {
  const name = basename(file)
  const record = readRunRecord(name, await namedFile(file, 'run-refused'), works)
  if (record.ok) return record.samples
  const count = record.problems.length + record.more
  const text = `${name} is refused: ${count} ${count === 1 ? 'problem' : 'problems'}.`
  throw new InputRefused('run-refused', text, record.problems, record.more)
}

/** A record may hold one run after another: each is of one line and one cable. */
function runsOf(record: RunSample[]): RunSample[][] {
  const runs: RunSample[][] = []
  for (const sample of record) {
    const first = runs.at(-1)?.[0]
    if (first?.line === sample.line && first.cable === sample.cable) runs.at(-1)!.push(sample)
    else runs.push([sample])
  }
  return runs
}

/** Figures to the millionth: what lies beyond is noise of the arithmetic. */
function toMicro(_key: string, value: unknown): unknown {
  return typeof value === 'number' ? Math.round(value * 1e6) / 1e6 : value
}

function asText(run: RunAnalysis): string[] {
  const { seen, fromM, toM } = run
  const several = run.pieces.length > 1
  return [
    `${run.line}, ${run.cable}: ${run.samples} samples, ${m(fromM, 1)} to ${m(toM, 1)} m from the outer end of the run.`,
    ...run.pieces.flatMap((piece, i) => pieceText(piece, several ? `piece ${i + 1}: ` : '')),
    ...run.findings.map(
      ({ severity, fromS, text }) => `  ${severity.padEnd(5)} ${figureText(fromS, 1).padStart(7)} s  ${text}`,
    ),
    `  ${timeText(run.time)}`,
    `  On record: spark test from ${m(seen.sparkFromM, 1)} to ${m(seen.sparkToM, 1)} m, diameter from ${m(seen.gaugeFromM, 1)} to ${m(seen.gaugeToM, 1)} m; what lay between head and cutter at the start passed before.`,
  ]
}

function pieceText(
  { forecasts, build, payoffRatio, payoffRatioUncertainty }: PieceReport,
  name: string,
): string[] {
  const lines = forecasts.map(({ atS, text }) => `  ${name}at ${figureText(atS, 1)} s: ${text}`)
  if (build) {
    const layers = build.boundaries.length + 1
    lines.push(
      `  ${name}winding: ${layers} ${layers === 1 ? 'layer' : 'layers'}, a turn of the first ${m(build.firstTurnM, 3)} m` +
        `${layers > 1 ? `, of each further ${figureText(1000 * build.stepM, 1)} mm longer` : ''}.`,
    )
  }
  if (payoffRatio !== null) {
    const band = payoffRatioUncertainty === null ? '' : ` ± ${figureText(100 * payoffRatioUncertainty)}`
    lines.push(
      `  ${name}payoff against counter ${figureText(100 * payoffRatio)}${band} % over the whole piece.`,
    )
  }
  return lines
}

function timeText(time: TimeSplit): string {
  const { totalS, runningS, crawlingS, handlingS, waitingS, microStops, microStopS, unknownS } = time
  const s = (seconds: number) => `${figureText(seconds, 1)} s`
  return (
    `Of ${s(totalS)}: running ${s(runningS)} (crawling ${s(crawlingS)}), handling ${s(handlingS)}, waiting ${s(waitingS)} ` +
    `(${microStops} micro-stops, ${s(microStopS)}), not recorded ${s(unknownS)}.`
  )
}

function m(lengthM: number, decimals: number): string {
  return lengthM.toFixed(decimals)
}
