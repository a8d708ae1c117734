/**
 * Work cut into steps of a few milliseconds: between two of them whoever runs it may let messages in, or drop it.
 * Every step yields the share that is done, 0…1.
 */
export type Steps<T> = Generator<number, T, undefined>

/** Runs all of it at once. */
export function finish<T>(steps: Steps<T>): T {
  for (;;) {
    const step = steps.next()
    if (step.done) return step.value
  }
}
