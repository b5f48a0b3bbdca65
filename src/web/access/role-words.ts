import type { Deed, Role } from '../../ledger/roles.ts'

/** Deeds whose code does not read like what is done. */
const WORDS: Partial<Record<Deed, string>> = {
  look: 'Looking at everything',
  plan: 'Planning and taking changes',
  'change-works': 'Changing orders and the works',
  'manage-accounts': 'Making and closing accounts',
  'receive-drum': 'Goods in',
  'receive-piece': 'Taking a finished piece into stock',
  'test-lot': 'Booking lot tests',
  'hold-drum': 'Holding a drum',
  'release-drum': 'Releasing a held drum',
  'move-drum': 'Moving a drum',
  'weigh-drum': 'Weighing a drum',
  'count-drum': 'Counting stock',
  'find-fault': 'Booking a fault',
  'place-fault': 'Placing a fault better',
  'withdraw-fault': 'Withdrawing a fault',
  'measure-rest': 'More left, ran out',
  'move-cut': 'Moving a booked cut',
  'release-plan': 'Releasing a plan to the floor',
  'mount-drum': 'Mounting a drum',
  'put-drum-away': 'Putting a drum away',
  'cut-pieces': 'Booking pieces',
  'cut-off': 'Cutting off scrap, trims and samples',
  'wind-off': 'Winding off a remnant',
  'stop-line': 'Stopping the line',
  'spoil-piece': 'Spoiling a piece',
  'test-piece': 'Testing a piece and its certificate',
  'print-label': 'Printing a label',
  'shelve-piece': 'Putting a piece on the shelf',
  'allot-piece': 'Allotting a shelf piece to an order',
  'finish-leads': 'Finishing leads',
  'ship-pieces': 'Shipping',
  'return-piece': 'Taking back a piece',
  'inspect-return': 'Inspecting a returned piece',
  'correct-piece': 'Correcting a piece',
  'record-check': 'Booking a check',
  'open-complaint': 'Opening a complaint',
  'close-complaint': 'Closing a complaint',
  'settle-record': 'Settling a record set aside',
}

export function deedWords(deed: Deed): string {
  const plain = deed.replaceAll('-', ' ')
  return WORDS[deed] ?? plain[0]!.toUpperCase() + plain.slice(1)
}

/** `planner, line or owner`. */
export function rolesInWords(roles: readonly Role[]): string {
  return roles.length < 2 ? roles.join('') : `${roles.slice(0, -1).join(', ')} or ${roles.at(-1)}`
}
