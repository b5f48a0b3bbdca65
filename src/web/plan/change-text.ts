import type { Plan } from '../../plan/plan.ts'
import type { CutPlace, PlanChange } from '../../plan/repair-changes.ts'
import type { TryChange } from '../../works/api.ts'
import { placeM } from '../format.ts'

/** A change to try, in words. */
export function tryText(change: TryChange, plan: Plan): string {
  switch (change.kind) {
    case 'hold': {
      const mounting = plan.mountings[change.mounting]
      const interval = mounting?.intervals[change.interval]
      const what = interval?.use === 'piece' ? `${interval.order}/${interval.orderLine}` : 'this cut'
      return `Hold ${what} where it is on ${mounting?.drum ?? 'its drum'}, with all that lies outside it`
    }
    case 'forbid':
      return `Cut ${change.order}/${change.orderLine} from another drum than ${change.drum}`
    case 'exclude':
      return `Leave ${change.drum} out`
    case 'add':
      return `Add order ${change.order}: ${change.qty} × ${change.length}, like ${change.like.order}/${change.like.orderLine}`
  }
}

/** What is otherwise in a plan, in words. */
export function changeText(change: PlanChange): string {
  if ('from' in change)
    return `${orderText(change)} from ${placeText(change.from)} to ${placeText(change.to)}`
  if ('order' in change)
    return `${change.kind === 'new' ? 'New' : 'No longer cut'}: ${orderText(change)} at ${placeText(change.at)}`
  if ('at' in change)
    return `${change.kind === 'new remnant' ? 'New remnant' : 'No remnant any more'} at ${placeText(change.at)}`
  return `${change.kind === 'new mounting' ? 'Mounted now' : 'Not mounted any more'}: ${change.drum} on ${change.line}`
}

function orderText({ order, orderLine, count }: { order: string; orderLine: number; count: number }): string {
  return `${order}/${orderLine}${count === 1 ? '' : ` × ${count}`}`
}

function placeText({ drum, fromUm, toUm }: CutPlace): string {
  return `${drum}, ${placeM(fromUm)} to ${placeM(toUm)} m`
}
