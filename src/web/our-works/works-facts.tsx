import type { WorksSummary } from '../../works/api.ts'
import { day, many } from '../format.ts'
import { instant } from '../works-clock.ts'

export function WorksFacts({ works }: { works: WorksSummary }) {
  const { counts } = works
  return (
    <>
      <p className="sentence wraps">
        <strong>{works.name}</strong>, {works.town}: {many(counts.orders, 'order line')},{' '}
        {many(counts.drums, 'strip')} of {many(counts.cables, 'cable type')}, {many(counts.faults, 'fault')}.
      </p>
      <dl className="facts">
        <dt>Folder</dt>
        <dd>{works.folder}</dd>
        <dt>Opened</dt>
        <dd>
          {instant(works.openedAt)}, state {works.version}
        </dd>
        <dt>Planning day</dt>
        <dd>{day(works.todayDate)}</dd>
        <dt>Notices</dt>
        <dd>{works.notices.length === 0 ? 'none' : `${works.notices.length}, listed below`}</dd>
      </dl>
    </>
  )
}
