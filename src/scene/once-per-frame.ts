/** Calls `act` with the newest value at most once a frame: pointers report faster than anything can be drawn. */
export function oncePerFrame<T>(act: (value: T) => void): {
  (value: T): void
  /** Acts at once on what still waits. */
  flush(): void
  cancel(): void
} {
  let frame = 0
  let waiting: { readonly value: T } | null = null
  const run = () => {
    frame = 0
    const due = waiting
    waiting = null
    if (due) act(due.value)
  }
  const schedule = (value: T) => {
    waiting = { value }
    if (frame === 0) frame = requestAnimationFrame(run)
  }
  const stop = () => {
    cancelAnimationFrame(frame)
    frame = 0
  }
  return Object.assign(schedule, {
    flush() {
      stop()
      run()
    },
    cancel() {
      stop()
      waiting = null
    },
  })
}
