import { readFile } from 'node:fs/promises'
import { describe, expect, it, test } from 'vitest'
import { issueAuthority } from '../../src/server/tls-certificate.ts'
import type { Column } from '../../src/works/column.ts'
import { BROKER_COLUMNS, parseMoreBrokers } from '../../src/works/more-brokers.ts'

const { certificate, key } = issueAuthority('Hall of the tests', [], {
  from: new Date('2031-01-01'),
  until: new Date('2041-01-01'),
})
const ROW = 'broker.hall:8883,hall,lastmetre,HALL'

function parsed(rows: string[], pem: string | null = certificate) {
  const bytes = (text: string) => new TextEncoder().encode(text)
  const files = new Map([['more/brokers.csv', bytes(['address,tls,user,password', ...rows].join('\r\n'))]])
  if (pem !== null) files.set('more/broker-authority.pem', bytes(pem))
  return parseMoreBrokers(files)
}

it('says how a broker is reached', () => {
  expect(parsed([ROW, '10.0.0.9:1883,no,,'])).toMatchObject({
    ok: true,
    more: {
      authorityPem: certificate,
      brokers: [
        { address: { host: 'broker.hall', port: 8883 }, tls: 'hall', user: 'lastmetre', password: 'HALL' },
        { address: { host: '10.0.0.9', port: 1883 }, tls: 'no', user: null, password: null },
      ],
    },
  })
  expect(parseMoreBrokers(new Map())).toMatchObject({ ok: true, more: { brokers: [], authorityPem: null } })
})

describe('more/brokers.csv and its authority are refused', () => {
  it.each<[string, string[], string | null, string]>([
    ['an address without a port', ['broker.hall,no,,'], null, 'brokers.csv 2 address'],
    ['a broker twice', [ROW, ROW], certificate, 'brokers.csv 3 address'],
    ['another word for TLS', [ROW.replace('hall,l', 'yes,l')], certificate, 'brokers.csv 2 tls'],
    ['an authority that is not there', [ROW], null, 'brokers.csv 2 tls'],
    ['a password without a user', ['broker.hall:8883,machine,,HALL'], null, 'brokers.csv 2 user'],
    [
      'a password in place of its name',
      [ROW.replace('HALL', 'three reels')],
      certificate,
      'brokers.csv 2 password',
    ],
    [
      'a user with a blank behind',
      [ROW.replace('lastmetre', 'lastmetre ')],
      certificate,
      'brokers.csv 2 user',
    ],
    ['no certificate', [ROW], 'hello', 'broker-authority.pem null null'],
    ['a private key', [ROW], `${certificate}${key}`, 'broker-authority.pem null null'],
    ['text behind the certificate', [ROW], `${certificate}\nhello`, 'broker-authority.pem null null'],
    ['more than a chain', [ROW], certificate.repeat(200), 'broker-authority.pem null null'],
  ])('%s', (_name, rows, pem, place) => {
    const result = parsed(rows, pem)
    const places = result.ok ? [] : result.problems.map((p) => `${p.file} ${p.row} ${p.column}`)
    expect(places).toContain(`more/${place}`)
  })

  it('and never repeats what may be a secret', () => {
    expect(JSON.stringify(parsed([ROW.replace('HALL', 'three reels')]))).not.toContain('three reels')
  })
})

test('docs/works-folder.md has the columns of this file', async () => {
  const doc = await readFile('docs/works-folder.md', 'utf8')
  const section = doc.split('\n## more/brokers.csv\n')[1]?.split('\n## ')[0] ?? ''
  const documented = [...section.matchAll(/^\|(\w+)\|.+?\|(required|may be empty)\|/gm)].map(
    ([, name]) => name,
  )
  expect(documented).toEqual((Object.values(BROKER_COLUMNS) as Column<unknown>[]).map((c) => c.name))
})
