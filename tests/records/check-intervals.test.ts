import { describe, expect, it } from 'vitest'
import { loadWorks } from '../../src/server/load-works.ts'
import { readWorksFolder } from '../../src/server/read-works-folder.ts'
import { parseMoreChecks } from '../../src/works/more-checks.ts'
import { DEMO } from '../support/demo.ts'

const HEADER = 'what,subject,task,days,source'

async function parsed(...rows: string[]) {
  const { works } = loadWorks(await readWorksFolder(DEMO))
  const bytes = new TextEncoder().encode([HEADER, ...rows, ''].join('\r\n'))
  return parseMoreChecks(new Map([['more/check_intervals.csv', bytes]]), works)
}

describe('more/check_intervals.csv', () => {
  it('is read as it stands', async () => {
    const result = await parsed('counter,RW-1,check,7,rule QA-04', 'scale,,calibration,365,rule')
    expect(result).toMatchObject({
      ok: true,
      more: {
        checkIntervals: [
          { what: 'counter', subject: 'RW-1', task: 'check', days: 7, source: 'rule QA-04' },
          { what: 'scale', subject: null, task: 'calibration', days: 365, source: 'rule' },
        ],
      },
    })
  })

  it('that is not there is not recorded', async () => {
    const { works } = loadWorks(await readWorksFolder(DEMO))
    expect(parseMoreChecks(new Map(), works)).toMatchObject({ ok: true, more: { checkIntervals: null } })
  })

  it.each([
    ['counter,RW-9,check,7,rule', 'subject'],
    ['clock,,check,7,rule', 'what'],
    ['counter,,sealing,7,rule', 'task'],
    ['counter,,check,0,rule', 'days'],
    ['counter,,check,1.5,rule', 'days'],
    ['counter,,check,4000,rule', 'days'],
    ['counter,,check,7,', 'source'],
    ['counter,,check,7,=1+1', 'source'],
    ['tape,../x,check,7,rule', 'subject'],
  ])('refuses %s for its %s', async (row, column) => {
    const result = await parsed(row)
    expect(result.ok).toBe(false)
    if (!result.ok)
      expect(result.problems[0]).toMatchObject({ file: 'more/check_intervals.csv', row: 2, column })
  })

  it('refuses the same task of the same thing twice', async () => {
    const result = await parsed('scale,SC-1,check,7,rule', 'scale,SC-1,check,30,rule')
    expect(result.ok).toBe(false)
  })
})
