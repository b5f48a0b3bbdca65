import { setFlagsFromString } from 'node:v8'

/** So much is run of a function before it is compiled to fast code; the engine of Node 20 has 67,584. A tuned figure. */
const BUDGET = 300_000
/** And so much of what it calls is compiled into it; the engine of Node 20 has 920. A tuned figure. */
const INLINED = 200

/**
 * Has the engine compile later and less at a time, in the whole process. A planner of ten seconds runs hundreds of functions that are compiled
 * again and again while types are new to them: on two cores that took 9 of 19 s, now 5.6, and the planner does 15 to 20 % more in
 * the same time. Code at its fastest is hardly slower. An engine that knows no such figure says so on standard error and goes on as it is.
 */
export function compileSparingly(): void {
  setFlagsFromString(`--interrupt-budget=${BUDGET}`)
  setFlagsFromString(`--max-inlined-bytecode-size-cumulative=${INLINED}`)
}
