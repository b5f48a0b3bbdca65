import type { Command } from 'commander'
import { INSTRUMENT } from '../lead/guard.ts'
import type { JudgedRule } from '../lead/judge-rule.ts'
import { loadWorks } from '../server/load-works.ts'
import { readMoreLead } from '../server/read-more-records.ts'
import { readWorksFolder } from '../server/read-works-folder.ts'
import { type JudgedLead, judgedLead, type MeasuredFile } from '../works/judged-lead.ts'
import { EXIT } from './exit-codes.ts'
import { printable } from './print.ts'
import { namedFile } from './read-file.ts'
import { numberOption } from './typed.ts'

interface JudgeOptions {
  lead?: string
  spec?: string
  temp?: number
  instrument?: string
  uLoss?: number
  uGamma?: number
  adapterA?: string
  adapterB?: string
  json: boolean
}

export function addJudge(program: Command, help: string, done: (code: number) => void): void {
  program
    .command('judge')
    .description('judge a measured lead against the limits computed for it; where it reflects and why')
    .argument('<folder>', 'works folder')
    .argument('<file>', 'Touchstone file (.s1p, .s2p, .ts) or CSV of a network analyser')
    .option('--lead <serial>', 'a finished lead, as in lead_tests.csv')
    .option(
      '--spec <lead>',
      'an order line, such as 7119/1, or cable, length tip to tip and connectors, such as C059-50,3m,N-C-059,N-C-059',
    )
    .option(
      '--temp <degrees>',
      'temperature of the lead, °C; 20 where nothing is recorded',
      numberOption('C', -100, 200),
    )
    .option('--instrument <id>', 'what it was measured with, as in more/instruments.csv')
    .option(
      '--u-loss <dB>',
      `expanded uncertainty (k = 2) of insertion loss, dB; without an instrument ${INSTRUMENT.lossDb}`,
      numberOption('dB', 0.001, 5),
    )
    .option(
      '--u-gamma <size>',
      `expanded uncertainty (k = 2) of a reflection, 0.01 for a directivity of 40 dB; without an instrument ${INSTRUMENT.gamma}`,
      numberOption('', 0.0001, 0.5),
    )
    .option(
      '--adapter-a <file>',
      'two-port file of an adapter at end A, its port 1 at the instrument: taken off first',
    )
    .option('--adapter-b <file>', 'the same at end B, its port 2 at the instrument')
    .option('--json', 'print the judgement for machines on standard output', false)
    .addHelpText('after', help)
    .action(async (folder: string, file: string, options: JudgeOptions) => {
      done(await judgeFile(folder, file, options))
    })
}

async function judgeFile(folder: string, file: string, options: JudgeOptions): Promise<number> {
  const content = await readWorksFolder(folder)
  const { works } = loadWorks(content)
  const { more } = await readMoreLead(content.path, content.name, works)
  const judged = judgedLead(works, more, {
    lead: { serial: options.lead ?? null, spec: options.spec ?? null },
    file: await measuredFile(file),
    adapterA: options.adapterA === undefined ? null : await measuredFile(options.adapterA),
    adapterB: options.adapterB === undefined ? null : await measuredFile(options.adapterB),
    instrument: options.instrument ?? null,
    uncertainty: {
      ...(options.uLoss === undefined ? {} : { lossDb: options.uLoss }),
      ...(options.uGamma === undefined ? {} : { gamma: options.uGamma }),
    },
    tempC: options.temp ?? null,
  })
  process.stdout.write(options.json ? `${JSON.stringify(forMachines(judged))}\n` : asText(judged))
  return EXIT.ok
}

async function measuredFile(path: string): Promise<MeasuredFile> {
  return { name: path, bytes: await namedFile(path, 'measurement-refused') }
}

function forMachines({ spec, measured, tempC, judgement }: JudgedLead) {
  return {
    file: measured.file,
    format: measured.format,
    cable: spec.cable.cable,
    a: spec.a.part,
    b: spec.b.part,
    cableM: spec.cutM,
    lengthM: spec.lengthM,
    tempC,
    ...judgement,
  }
}

function asText({ spec, measured, tempC, judgement }: JudgedLead): string {
  const { rules, bumps, periodic } = judgement
  const lines = [
    `${measured.file} (${measured.format}): ${VERDICTS[judgement.verdict]}`,
    `${spec.lengthM.toFixed(4)} m between reference planes of ${spec.cable.cable} with ${spec.a.part} and ${spec.b.part}, ${tempC} °C, ` +
      `judged from ${judgement.judgedFromMhz.toFixed(1)} to ${judgement.judgedToMhz.toFixed(1)} MHz`,
    ...rules.map(ruleText),
    ...(bumps.length > 0 ? ['reflections, by place:'] : []),
    ...bumps.map(
      (bump) =>
        `  ${bump.atM.toFixed(3)} m ± ${bump.plusMinusM.toFixed(3)} m: ${bump.returnLossDb.toFixed(1)} dB, ${bump.what}`,
    ),
    ...(periodic
      ? [
          `periodic defect: pitch ${periodic.pitchM.toFixed(3)} m ± ${periodic.plusMinusM.toFixed(3)} m, spikes at ${periodic.spikesMhz.map((f) => f.toFixed(1)).join(', ')} MHz; ` +
            (periodic.matches.length > 0
              ? periodic.matches
                  .map((m) => (m.marks === 1 ? m.name : `${m.name} (${m.marks} marks a turn)`))
                  .join(', ')
              : 'no roller or barrel of the works has this circumference'),
        ]
      : []),
    `ripple of the two connectors repeats every ${judgement.ripplePeriodMhz.toFixed(2)} MHz`,
    `continuity at most ${judgement.direct.innerMilliohm.toFixed(1)} mΩ inner, ${judgement.direct.outerMilliohm.toFixed(1)} mΩ outer; high-voltage test of the core ${judgement.direct.hipotKvDc} kV DC. ${judgement.direct.hipotCaution}`,
    `rule: ${judgement.guardRule}; U ${judgement.instrument.lossDb} dB of loss, ${judgement.instrument.gamma} of reflection`,
    ...judgement.notes.map((note) => `note: ${note}`),
  ]
  return `${lines.map(printable).join('\n')}\n`
}

const VERDICTS = {
  pass: 'PASS',
  fail: 'FAIL',
  'not proven': 'NOT PROVEN: nothing fails, but not every rule could be judged',
} as const

function ruleText(rule: JudgedRule): string {
  const word = rule.pass === null ? 'not judged' : rule.pass ? 'pass' : 'fail'
  if (rule.measured === null || rule.limit === null) return `  ${word}: ${rule.name}: ${rule.says}`
  const digits = rule.unit === 'm' ? 4 : 3
  const at = rule.atMhz === null ? '' : ` at ${rule.atMhz.toFixed(1)} MHz`
  const accepted =
    rule.acceptance === null || rule.acceptance === rule.limit
      ? ''
      : `, acceptance limit ${rule.acceptance.toFixed(digits)} ${rule.unit}`
  const risk = rule.falsePassPct === null ? '' : `, risk of a false pass ${rule.falsePassPct.toFixed(2)} %`
  return `  ${word}: ${rule.name} ${rule.measured.toFixed(digits)} ${rule.unit}${at}, limit ${rule.limit.toFixed(digits)} ${rule.unit}${accepted}${risk}; ${rule.says}`
}
