import { setFlagsFromString } from 'node:v8'

/** So much is run of a function before it is compiled to fast code; the engine's own figure is 67,584. */
const BUDGET = 300_000
/** And so much of what it calls is compiled into it; the engine's own figure is 920. */
const INLINED = 200

/**
 * Has the engine compile later and less at a time, in the whole process. A planner of ten seconds runs hundreds of functions that are compiled
 * again and again while types are new to them: on two cores that took 9 of 19 s, now 5.6, and the planner got as
 * much more done. Code at its fastest is hardly slower. An engine that knows no such figure goes on as it is.
 */
export function compileSparingly(): void {
  setFlagsFromString(`--interrupt-budget=${BUDGET}`)
  setFlagsFromString(`--max-inlined-bytecode-size-cumulative=${INLINED}`)
}
