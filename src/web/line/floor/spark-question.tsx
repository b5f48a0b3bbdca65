import type { LineSignals } from '../../../works/floor-api.ts'
import { placeM } from '../../format.ts'
import { HandButton } from './hand-button.tsx'

export type Spark = LineSignals['sparks'][number]

interface Props {
  sparks: Spark[]
  onFault: (spark: Spark) => void
  onNone: (spark: Spark) => void
}

/** A spark that the tester reported waits for a person: one at a time, the oldest first. */
export function SparkQuestion({ sparks, onFault, onNone }: Props) {
  const spark = sparks[0]
  if (!spark) return null
  return (
    <section className="banner bad changed-cut" aria-labelledby="spark-head">
      <div className="grow stack close">
        <h2 id="spark-head">
          Spark at {placeM(spark.fromUm)} m from the outer end, give or take {placeM(spark.uncUm)} m
        </h2>
        <p>
          Is it a fault?{' '}
          {sparks.length > 1 && <span className="quiet">{sparks.length - 1} more wait after it.</span>}
        </p>
      </div>
      <HandButton letter="Y" onPress={() => onFault(spark)}>
        A fault
      </HandButton>
      <HandButton letter="X" onPress={() => onNone(spark)}>
        Not a fault
      </HandButton>
    </section>
  )
}
