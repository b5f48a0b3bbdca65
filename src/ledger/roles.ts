import type { CommandKind } from './command.ts'

export const ROLES = ['planner', 'line', 'bench', 'quality', 'dispatch', 'owner'] as const

export type Role = (typeof ROLES)[number]

/** What else than a command may be allowed or not. */
export type Deed = CommandKind | 'look' | 'plan' | 'change-works' | 'manage-accounts'

const ALL: readonly Role[] = ROLES
const STORE: readonly Role[] = ['planner', 'line', 'quality', 'owner']
const FLOOR: readonly Role[] = ['line', 'bench', 'owner']
const QUALITY: readonly Role[] = ['quality', 'owner']
const PLANNING: readonly Role[] = ['planner', 'owner']
const SENDING: readonly Role[] = ['dispatch', 'owner']

/** The one table of what each role may do. */
export const MAY: Record<Deed, readonly Role[]> = {
  look: ALL,
  plan: PLANNING,
  'change-works': PLANNING,
  'manage-accounts': ['owner'],
  'receive-drum': STORE,
  'receive-piece': STORE,
  'test-lot': QUALITY,
  'hold-drum': ['planner', 'line', 'quality', 'owner'],
  'release-drum': QUALITY,
  'move-drum': ALL,
  'weigh-drum': STORE,
  'count-drum': STORE,
  'find-fault': ['line', 'bench', 'quality', 'owner'],
  'place-fault': ['line', 'bench', 'quality', 'owner'],
  'withdraw-fault': ['line', 'quality', 'owner'],
  'measure-rest': ['line', 'bench', 'quality', 'owner'],
  'move-cut': QUALITY,
  'release-plan': ['planner', 'line', 'owner'],
  'mount-drum': FLOOR,
  'put-drum-away': FLOOR,
  'cut-pieces': FLOOR,
  'cut-off': FLOOR,
  'wind-off': FLOOR,
  'stop-line': FLOOR,
  'spoil-piece': ['line', 'bench', 'quality', 'dispatch', 'owner'],
  'test-piece': ['line', 'bench', 'quality', 'owner'],
  'print-label': ['line', 'bench', 'quality', 'dispatch', 'owner'],
  'shelve-piece': ['line', 'dispatch', 'planner', 'owner'],
  'allot-piece': ['planner', 'dispatch', 'owner'],
  'finish-leads': ['bench', 'owner'],
  'ship-pieces': SENDING,
  'return-piece': ['dispatch', 'quality', 'owner'],
  'inspect-return': QUALITY,
  'correct-piece': QUALITY,
  'record-check': ['line', 'bench', 'quality', 'owner'],
  'open-complaint': ['planner', 'dispatch', 'quality', 'owner'],
  'close-complaint': QUALITY,
  'set-record-aside': ALL,
  'settle-record': ['planner', 'quality', 'owner'],
  'change-account': ['owner'],
  'sign-in': ALL,
  'refuse-sign-in': ALL,
}

export function may(role: Role, deed: Deed): boolean {
  return MAY[deed].includes(role)
}
