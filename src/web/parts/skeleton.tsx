/** Stands where the content will stand, at its size, so that nothing jumps. */
export function Skeleton() {
  return (
    <div className="stack" role="status">
      <span className="spoken">Loading the works</span>
      <div className="skeleton" style={{ height: 60, maxWidth: 640 }} />
      <div className="skeleton" style={{ height: 52, maxWidth: 240 }} />
      {[0, 1, 2, 3].map((i) => (
        <div key={i} className="skeleton" style={{ height: 120 }} />
      ))}
    </div>
  )
}
