import type { CommandBody } from './command.ts'

/**
 * What a command names, so that whoever keeps the state knows what to load before it is decided. With a drum belong its
 * strip, that strip's stretches, drums and faults, and the lot; with a serial its piece and the same of the piece's strip;
 * with a fault its strip likewise; with a line the drums that are mounted on it (and theirs). What is not there is not loaded.
 */
export interface Concern {
  drums: string[]
  strips: string[]
  serials: string[]
  faults: string[]
  lots: string[]
  complaints: string[]
  /** Seqs. */
  asides: number[]
  lines: string[]
}

export function concernOf(body: CommandBody): Concern {
  const concern: Concern = {
    drums: [],
    strips: [],
    serials: [],
    faults: [],
    lots: [],
    complaints: [],
    asides: [],
    lines: [],
  }
  if ('drum' in body) concern.drums.push(body.drum)
  if ('newDrum' in body && body.newDrum !== null) concern.drums.push(body.newDrum)
  if ('strip' in body) concern.strips.push(body.strip)
  if ('serial' in body) concern.serials.push(body.serial)
  if ('line' in body && body.line !== null) concern.lines.push(body.line)
  if ('lot' in body) concern.lots.push(body.lot)
  switch (body.kind) {
    case 'receive-drum':
      for (const { fault } of body.faults) if (fault !== null) concern.faults.push(fault)
      concern.strips.push(body.drum)
      break
    case 'receive-piece':
      concern.drums.push(body.serial)
      break
    case 'place-fault':
    case 'withdraw-fault':
      concern.faults.push(body.fault)
      break
    case 'release-plan':
      concern.drums.push(...body.origins.map((origin) => origin.drum))
      break
    case 'ship-pieces':
      concern.serials.push(...body.serials)
      break
    case 'finish-leads':
      concern.serials.push(body.from)
      break
    case 'close-complaint':
      concern.complaints.push(body.complaint)
      break
    case 'settle-record':
      concern.asides.push(body.aside)
      break
  }
  return concern
}
