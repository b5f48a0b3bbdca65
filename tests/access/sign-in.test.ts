import { describe, expect, it, onTestFinished } from 'vitest'
import { openAccess } from '../../src/server/access-desks.ts'
import { PinKeeper } from '../../src/server/accounts-pin.ts'
import { openStore } from '../../src/store/open-store.ts'
import { emptyFolder } from '../support/empty-folder.ts'
import { ask, cheapPins, demoApp, OWNER, signedInAs, signIn } from './harness.ts'

const MINUTE_MS = 60_000
const LINE = { account: 'K-07', name: 'L. Line', role: 'line', pin: '730514' } as const

interface Booked {
  kind: string
  account: string
  why?: string
}

/** Desks on a store of their own, with a clock that the test moves. */
async function desks() {
  const store = await openStore(await emptyFolder())
  const clock = { ms: Date.parse('2031-03-03T06:00:00Z') }
  const booked: Booked[] = []
  const audit = async (_trx: unknown, body: unknown) => void booked.push(body as Booked)
  const access = openAccess(store.db, audit, { pins: cheapPins(), now: () => clock.ms })
  onTestFinished(async () => {
    access.sessions.close()
    await store.close()
  })
  await access.accounts.add(OWNER, 'local')
  await access.accounts.add(LINE, OWNER.account)
  const tries = (badge: string, pin: string, address = '10.0.0.5') =>
    access.signIn.signIn({ badge, pin }, address).then(
      () => 'in',
      (error: { code: string }) => error.code,
    )
  return { ...access, db: store.db, clock, booked, tries }
}

describe('wrong PINs', () => {
  it('lock the badge from the fifth on, each time twice as long, up to an hour', async () => {
    const { tries, clock, accounts } = await desks()
    for (let i = 0; i < 4; i++) expect(await tries('K-07', '000000', `10.1.0.${i}`)).toBe('sign-in-refused')
    const waitsMin: number[] = []
    for (let i = 0; i < 8; i++) {
      expect(await tries('K-07', '000000', `10.2.0.${i}`)).toBe('sign-in-refused')
      expect(await tries('K-07', LINE.pin, `10.3.0.${i}`)).toBe('locked-out')
      const { lockedUntil } = (await accounts.list()).find(({ account }) => account === 'K-07')!
      const waitMs = Date.parse(lockedUntil!) - clock.ms
      clock.ms += waitMs - 1
      expect(await tries('K-07', LINE.pin, `10.3.0.${i}`)).toBe('locked-out')
      clock.ms += 1
      waitsMin.push(waitMs / MINUTE_MS)
    }
    expect(waitsMin).toEqual([1, 2, 4, 8, 16, 32, 60, 60])
    expect(await tries('K-07', LINE.pin)).toBe('in')
    // The right PIN has cleared the count.
    expect(await tries('K-07', '000000')).toBe('sign-in-refused')
    expect(await tries('K-07', LINE.pin)).toBe('in')
  })

  it('lock the address that tries one badge after another, and no other address', async () => {
    const { tries } = await desks()
    for (let i = 0; i < 5; i++) expect(await tries(`X-${i}`, '000000')).toBe('sign-in-refused')
    expect(await tries('K-07', LINE.pin)).toBe('locked-out')
    expect(await tries('K-07', LINE.pin, '10.0.0.6')).toBe('in')
  })

  it('count for the network of an IPv6 address, whose other half is free to choose', async () => {
    const { tries } = await desks()
    for (let i = 0; i < 5; i++) await tries(`X-${i}`, '000000', `fd00:1:2:3::${i + 1}`)
    expect(await tries('K-07', LINE.pin, 'fd00:1:2:3:ffff::9')).toBe('locked-out')
    expect(await tries('K-07', LINE.pin, 'fd00:1:2:4::9')).toBe('in')
  })

  it('are answered alike with and without an account, closed ones too', async () => {
    const app = await demoApp()
    await app.access.accounts.add(LINE, OWNER.account)
    await app.access.accounts.change(LINE.account, { role: null, pin: null, closed: true }, OWNER.account)
    const bodies = []
    for (const [badge, pin] of [
      [OWNER.account, '000000'],
      ['X-404', '000000'],
      [LINE.account, LINE.pin],
      ['<b>', '000000'],
    ] as const) {
      const { status, body, cookie } = await signIn(app, badge, pin, '10.0.0.9')
      bodies.push({ status, body, cookie })
    }
    expect(bodies[0]).toMatchObject({ status: 401, body: { code: 'sign-in-refused' }, cookie: null })
    for (const other of bodies) expect(other).toEqual(bodies[0])
  })

  it('many at the same moment do not get past the count', async () => {
    const { tries } = await desks()
    const answers = await Promise.all(
      Array.from({ length: 12 }, (_, i) => tries('K-07', `00000${i % 10}`, `10.4.0.${i}`)),
    )
    expect(answers.filter((answer) => answer === 'sign-in-refused')).toHaveLength(5)
    expect(answers.filter((answer) => answer === 'locked-out')).toHaveLength(7)
  })

  it('are booked once each; tries that are refused unseen fill no ledger', async () => {
    const { tries, booked } = await desks()
    for (let i = 0; i < 9; i++) await tries('K-07', '000000')
    expect(booked.filter(({ kind }) => kind === 'refuse-sign-in').map(({ why }) => why)).toEqual([
      'wrong',
      'wrong',
      'wrong',
      'wrong',
      'locked',
    ])
  })

  it('are forgotten with a new PIN from the owner', async () => {
    const { tries, accounts } = await desks()
    for (let i = 0; i < 5; i++) await tries('K-07', '000000', `10.5.0.${i}`)
    expect(await tries('K-07', LINE.pin)).toBe('locked-out')
    await accounts.change('K-07', { role: null, pin: '918273', closed: null }, OWNER.account)
    expect(await tries('K-07', '918273')).toBe('in')
    expect(await tries('K-07', LINE.pin)).toBe('sign-in-refused')
  })
})

describe('a session', () => {
  it('ends after a shift at the line, and after half an hour without use elsewhere', async () => {
    const { signIn: desk, sessions, clock } = await desks()
    const line = await desk.signIn({ badge: 'K-07', pin: LINE.pin }, '10.0.0.5')
    const owner = await desk.signIn({ badge: OWNER.account, pin: OWNER.pin }, '10.0.0.6')
    clock.ms += 29 * MINUTE_MS
    expect(await sessions.person(owner, true)).toMatchObject({ account: OWNER.account, role: 'owner' })
    clock.ms += 29 * MINUTE_MS
    // A page that asks by itself is no use.
    expect(await sessions.person(owner, false)).not.toBeNull()
    clock.ms += MINUTE_MS
    expect(await sessions.person(owner, true)).toBeNull()
    expect(await sessions.person(line, false)).toMatchObject({ role: 'line' })
    clock.ms += 11 * 60 * MINUTE_MS + MINUTE_MS
    expect(await sessions.person(line, true)).toBeNull()
  })

  it('cannot be had from the database', async () => {
    const { signIn: desk, sessions, db } = await desks()
    const id = await desk.signIn({ badge: 'K-07', pin: LINE.pin }, '10.0.0.5')
    expect(Buffer.from(id, 'base64url')).toHaveLength(32)
    const row = await db.selectFrom('session').selectAll().executeTakeFirstOrThrow()
    expect(row.id_hash).not.toContain(id)
    expect(await sessions.person(row.id_hash, false)).toBeNull()
  })

  it('ends with signing out, with another role, and with the account', async () => {
    const app = await demoApp()
    const cookie = await signedInAs(app, 'line')
    expect(await ask(app, { url: '/api/me' }, cookie)).toMatchObject({
      body: { account: 'K-line', role: 'line' },
    })
    const out = await ask(app, { method: 'POST', url: '/api/sign-out' }, cookie)
    expect(out).toMatchObject({ status: 200, body: { account: null, role: null, accounts: true } })
    expect(await ask(app, { url: '/api/works' }, cookie)).toMatchObject({ status: 401 })
    const again = (await signIn(app, 'K-line', '730514')).cookie
    const owner = await signedInAs(app, 'owner')
    const change = { role: 'bench', pin: null, closed: null }
    const request = { method: 'POST', url: '/api/accounts/K-line', payload: change } as const
    expect(await ask(app, request, again)).toMatchObject({ status: 403 })
    expect(await ask(app, request, owner)).toMatchObject({ status: 200 })
    expect(await ask(app, { url: '/api/works' }, again)).toMatchObject({ status: 401 })
  })

  it('is in a cookie that no script reads and no other site sends', async () => {
    const app = await demoApp()
    const payload = { badge: OWNER.account, pin: OWNER.pin }
    const { headers } = await app.http.inject({ method: 'POST', url: '/api/sign-in', payload })
    expect(headers['set-cookie']).toMatch(/^lastmetre-session=[\w-]{43}; Path=\/; HttpOnly; SameSite=Strict$/)
  })

  it('of one account are eight at most', async () => {
    const { signIn: desk, sessions, clock } = await desks()
    const ids: string[] = []
    for (let i = 0; i < 9; i++) {
      ids.push(await desk.signIn({ badge: 'K-07', pin: LINE.pin }, '10.0.0.5'))
      clock.ms += 1_000
    }
    const alive = await Promise.all(ids.map((id) => sessions.person(id, false)))
    expect(alive.map((person) => person !== null)).toEqual([false, ...Array(8).fill(true)])
  })
})

describe('a PIN as it is stored', () => {
  it('costs what the source asks, salted, and can be looked at', async () => {
    const pins = new PinKeeper()
    const [one, other] = [await pins.hash('730514'), await pins.hash('730514')]
    expect(one).toMatch(/^scrypt\$17\$8\$1\$[^$]{24}\$[^$]{44}$/)
    expect(one).not.toBe(other)
    expect([await pins.isPin('730514', one), await pins.isPin('730515', one)]).toEqual([true, false])
    expect(await pins.isPin('730514', null)).toBe(false)
  })

  it('is the scrypt of RFC 7914', async () => {
    // Section 12, second vector: "password", "NaCl", N = 1024, r = 8, p = 16; its first 32 of 64 bytes.
    const key = 'fdbabe1c9d3472007856e7190d01e9fe7c6ad7cbc8237830e77376634b373162'
    const hash = `scrypt$10$8$16$${Buffer.from('NaCl').toString('base64')}$${Buffer.from(key, 'hex').toString('base64')}`
    expect(await new PinKeeper().isPin('password', hash)).toBe(true)
    expect(await new PinKeeper().isPin('Password', hash)).toBe(false)
  })
})
