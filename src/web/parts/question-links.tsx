interface Props<V extends string> {
  /** Whose questions they are, as it is read out. */
  label: string
  views: readonly { id: V; word: string }[]
  view: V
}

/** The questions of a place, each with an address of its own behind the # (useHash in route.ts). */
export function QuestionLinks<V extends string>({ label, views, view }: Props<V>) {
  return (
    <nav className="question-links" aria-label={label}>
      {views.map(({ id, word }) => (
        <a key={id} href={`#${id}`} aria-current={id === view ? 'true' : undefined}>
          {word}
        </a>
      ))}
    </nav>
  )
}
