import fastifyCookie from '@fastify/cookie'
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import type { CommandKind } from '../ledger/command.ts'
import { type Deed, may, type Role } from '../ledger/roles.ts'
import { LastmetreError } from '../quantity/errors.ts'
import { LOCAL_ACCOUNT, type Me } from '../works/access-api.ts'
import type { AccountsDesk } from './accounts-desk.ts'
import { isLoopback } from './guard.ts'
import { passOfSession } from './record-pass.ts'
import type { SessionsDesk } from './sessions-desk.ts'

declare module 'fastify' {
  interface FastifyContextConfig {
    /**
     * What a route does: each under /api/ states it, and one that does not is refused once there are accounts.
     * 'anyone' needs no sign-in. 'by command' needs one; the route asks `needCommand` for each.
     */
    deed?: Deed | 'anyone' | 'by command'
    /** Pages ask it by themselves, or it stays open: it does not count as use, and ends with the session. */
    byItself?: boolean
  }
  interface FastifyRequest {
    me: Me
  }
}

/** Booked by the server alone; nobody may send them. */
const SERVER_ONLY: ReadonlySet<CommandKind> = new Set([
  'sign-in',
  'refuse-sign-in',
  'change-account',
  'set-record-aside',
])

const SESSION_COOKIE = 'lastmetre-session'
/** A browser takes a cookie of this prefix from the very host only, and over TLS only (RFC 6265bis, 4.1.3.2). */
const SECURE_COOKIE = `__Host-${SESSION_COOKIE}`

/** Says of every request who asks, and refuses what their role may not do. Before there are accounts, loopback may all. */
export async function checkAccess(
  app: FastifyInstance,
  accounts: AccountsDesk,
  sessions: SessionsDesk,
): Promise<void> {
  await app.register(fastifyCookie)
  app.decorateRequest('me', null as unknown as Me)
  app.addHook('onRequest', async (request, reply) => {
    const { deed, byItself = false } = request.routeOptions.config
    request.me = await whoAsks(request, accounts, sessions, !byItself)
    // Outside /api/ are the screens, which hold nothing of the works.
    if (request.routeOptions.url?.startsWith('/api/') !== true || deed === 'anyone') return
    if (deed === undefined && request.me.accounts) {
      throw new LastmetreError('not-allowed', 'It is not laid down who may do this.')
    }
    if (deed === 'by command') needPerson(request)
    else needDeed(request, deed ?? 'look')
    const id = sessionId(request)
    if (byItself && id !== null) sessions.follow(id, reply.raw)
  })
}

/** The role of whoever asks. Throws 'sign-in-needed' where nobody is signed in. */
function needPerson(request: FastifyRequest): Role {
  const { role } = request.me
  if (role === null) throw new LastmetreError('sign-in-needed', 'Nobody is signed in here.')
  return role
}

/** Throws 'sign-in-needed' or 'not-allowed'. */
function needDeed(request: FastifyRequest, deed: Deed): void {
  needRole(needPerson(request), deed)
}

function needRole(role: Role, deed: Deed): void {
  if (!may(role, deed)) {
    throw new LastmetreError(
      'not-allowed',
      `The role ${role} may not do this (${deed.replaceAll('-', ' ')}).`,
    )
  }
}

/** Whether who asks may have this booked; throws 'sign-in-needed' or 'not-allowed'. */
export function needCommand(request: FastifyRequest, kind: CommandKind): void {
  mayBook(needPerson(request), kind)
}

/** Throws 'not-allowed' where somebody of this role may not have this booked. */
export function mayBook(role: Role, kind: CommandKind): void {
  if (SERVER_ONLY.has(kind)) {
    throw new LastmetreError('not-allowed', 'The server books this by itself; nobody may send it.')
  }
  needRole(role, kind)
}

/** Account under which what is asked is booked. */
export function actorOf(request: FastifyRequest): string {
  return request.me.account ?? LOCAL_ACCOUNT
}

export function sessionId(request: FastifyRequest): string | null {
  return request.cookies[cookieName(request)] ?? null
}

/** `id` null takes the cookie away. */
export function setSession(request: FastifyRequest, reply: FastifyReply, id: string | null): void {
  const options = { path: '/', httpOnly: true, sameSite: 'strict', secure: isSecure(request) } as const
  if (id === null) void reply.clearCookie(cookieName(request), options)
  else void reply.setCookie(cookieName(request), id, options)
}

function cookieName(request: FastifyRequest): string {
  return isSecure(request) ? SECURE_COOKIE : SESSION_COOKIE
}

function isSecure(request: FastifyRequest): boolean {
  return request.protocol === 'https'
}

async function whoAsks(
  request: FastifyRequest,
  accounts: AccountsDesk,
  sessions: SessionsDesk,
  used: boolean,
): Promise<Me> {
  const onMachine = isLoopback(request.ip)
  const readable = !isSecure(request) && !onMachine
  if (!(await accounts.any())) {
    if (!onMachine)
      throw new LastmetreError('owner-missing', 'Nothing is served here before there is an owner.')
    return {
      ...{ account: LOCAL_ACCOUNT, name: 'This machine', role: 'owner', accounts: false, readable },
      ...{ pass: null, leftMs: null },
    }
  }
  return asked(readable, sessions, sessionId(request), used)
}

/** Who asks, after a session has begun or ended within this request. */
export async function askAnew(
  request: FastifyRequest,
  sessions: SessionsDesk,
  id: string | null,
): Promise<Me> {
  return asked(request.me.readable, sessions, id, false)
}

async function asked(
  readable: boolean,
  sessions: SessionsDesk,
  id: string | null,
  used: boolean,
): Promise<Me> {
  const person = id === null ? null : await sessions.person(id, used)
  return id === null || person === null
    ? { account: null, name: '', role: null, accounts: true, readable, pass: null, leftMs: null }
    : { ...person, accounts: true, readable, pass: passOfSession(id) }
}
