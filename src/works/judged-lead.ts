import { chainOf } from '../lead/chain.ts'
import { INSTRUMENT, type InstrumentUncertainty } from '../lead/guard.ts'
import { type Instrument, instrumentOverdue } from '../lead/instrument.ts'
import { type Judgement, judgeLead } from '../lead/judge.ts'
import { recordNote } from '../lead/lead-record.ts'
import type { LeadSpec } from '../lead/lead-spec.ts'
import { type Measurement, readMeasurement } from '../lead/measurement.ts'
import { rollersOf } from '../lead/rollers.ts'
import type { Sweep } from '../lead/sweep.ts'
import { deembeddedFirst, deembeddedLast } from '../lead/sweep-algebra.ts'
import { LastmetreError } from '../quantity/errors.ts'
import { type LeadNamed, leadAsked } from './lead-asked.ts'
import type { MoreLead } from './more-lead.ts'
import type { Works } from './works.ts'

/** A file by its name and content. */
export interface MeasuredFile {
  name: string
  bytes: Uint8Array
}

export interface JudgeQuestion {
  lead: LeadNamed
  file: MeasuredFile
  /** Adapters to be taken off by calculation; at end A port 1, at end B port 2 was at the instrument. */
  adapterA: MeasuredFile | null
  adapterB: MeasuredFile | null
  /** As in more/instruments.csv. */
  instrument: string | null
  /** Expanded uncertainties that count instead of the instrument's. */
  uncertainty: Partial<InstrumentUncertainty>
  /** null: as recorded, else 20 °C. */
  tempC: number | null
}

/** A judged lead with what it was judged by. */
export interface JudgedLead {
  spec: LeadSpec
  measured: Measurement
  tempC: number
  judgement: Judgement
}

/** Judges a measured file against a lead of a works: what command line, server and screen share. */
export function judgedLead(works: Works, more: MoreLead, question: JudgeQuestion): JudgedLead {
  const instrument = instrumentNamed(more.instruments, question.instrument)
  const { spec, test } = leadAsked(works, question.lead)
  const { cable, a, b } = spec
  const read = (file: MeasuredFile) => readMeasurement(file.name, file.bytes, cable.z0NominalOhm)
  const measured = read(question.file)
  const off = [question.adapterA, question.adapterB].map((file) => (file ? read(file) : null))
  const sweep = withoutAdapters(measured.sweep, off[0]?.sweep ?? null, off[1]?.sweep ?? null)
  const tempC = question.tempC ?? spec.tempC ?? 20
  const judgement = judgeLead({
    chain: chainOf({ cable, attenuation: works.attenuation, lengthM: spec.cutM, tempC, a, b }),
    ...{ lengthM: spec.lengthM, lengthMinusM: spec.minusM, lengthPlusM: spec.plusM, toMhz: spec.toMhz },
    ...{ sweep, hasPhase: measured.hasPhase },
    instrument: {
      lossDb: question.uncertainty.lossDb ?? instrument?.lossDb ?? INSTRUMENT.lossDb,
      gamma: question.uncertainty.gamma ?? instrument?.gamma ?? INSTRUMENT.gamma,
    },
    overdue: instrument ? instrumentOverdue(instrument, works.site.works.todayDate) : null,
    rollers: rollersOf(works.site.rollerCircumferencesM, works.putups, cable),
  })
  const adapters = off.filter((m) => m !== null).map((m) => m.file)
  const record = test ? recordNote(test, sweep) : null
  const notes = [
    instrumentNote(instrument),
    ...measured.notes,
    ...(adapters.length > 0 ? [`Taken off by calculation: ${adapters.join(' and ')}.`] : []),
    ...(record === null ? [] : [record]),
    ...judgement.notes,
  ]
  return { spec, measured, tempC, judgement: { ...judgement, notes } }
}

function instrumentNamed(all: Instrument[] | null, id: string | null): Instrument | null {
  if (id === null) return null
  const instrument = all?.find((i) => i.instrument === id)
  if (!instrument)
    throw new LastmetreError('unknown-id', `There is no instrument ${id} in more/instruments.csv.`)
  return instrument
}

function instrumentNote(instrument: Instrument | null): string {
  if (!instrument)
    return 'No instrument is named: its uncertainty is common practice, not that of this works.'
  const due =
    instrument.dueDate === null
      ? 'when it is due for calibration is not recorded'
      : `due for calibration on ${instrument.dueDate}`
  return `Measured with ${instrument.instrument}, ${instrument.what ?? 'not described'}; ${due}.`
}

function withoutAdapters(sweep: Sweep, first: Sweep | null, last: Sweep | null): Sweep {
  const without = first ? deembeddedFirst(sweep, first) : sweep
  return last ? deembeddedLast(without, last) : without
}
