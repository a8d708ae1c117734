/** Compile-time proof that a switch is exhaustive; a loud run-time failure if data lied. */
export function unreachable(value: never): never {
  throw new Error(`unhandled case: ${JSON.stringify(value)}`)
}
