import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { judgedLead } from '../../src/works/judged-lead.ts'
import { works } from './demo-works.ts'

/** The simulated files of demo/measured do what the texts say of them. */
function judged(name: string, lead: { serial?: string; spec?: string }) {
  return judgedLead(
    works,
    { connectorPower: null, instruments: null },
    {
      lead: { serial: lead.serial ?? null, spec: lead.spec ?? null },
      file: { name, bytes: new Uint8Array(readFileSync(`demo/measured/${name}`)) },
      ...{ adapterA: null, adapterB: null, instrument: null, uncertainty: {}, tempC: null },
    },
  ).judgement
}

describe('demo/measured', () => {
  test('a good lead', () => {
    const { verdict, bumps } = judged('KJ31-4001.s2p', { serial: 'KJ31-4001' })
    expect(verdict).toBe('pass')
    expect(bumps).toHaveLength(2)
  })

  test('a lead dented 1.2 m from end A', () => {
    const { verdict, bumps } = judged('KJ31-4005-dent.s2p', { serial: 'KJ31-4005' })
    expect(verdict).toBe('fail')
    expect(bumps[1]!.atM).toBeCloseTo(1.2, 2)
  })

  test('45 m with the marks of a drum barrel', () => {
    const { periodic } = judged('C110-50-45m-spikes.s1p', { spec: 'C110-50,45.02m,N-C-110,N-C-110' })
    expect(periodic!.matches).toContainEqual({ name: 'process_drum_barrel', marks: 1 })
  })
})
