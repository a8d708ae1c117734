/**
 * Everything that can go wrong for reasons the user can act on. Plain data: it survives postMessage and JSON, and
 * gets its words in one place (`problem-text.ts`). A broken promise of our own throws an Error instead.
 */
export type Problem =
  | { readonly code: 'file/empty'; readonly fileName: string }
  | { readonly code: 'file/unsupported'; readonly fileName: string; readonly extension: string }
  | { readonly code: 'file/damaged'; readonly fileName: string; readonly detail: string }
  | {
      readonly code: 'file/too-large'
      readonly fileName: string
      readonly found: number
      readonly limit: number
      readonly what: FileLimit
    }
  | { readonly code: 'file/needs'; readonly fileName: string; readonly missing: string }
  | { readonly code: 'file/encrypted'; readonly fileName: string }
  | { readonly code: 'file/extension-missing'; readonly fileName: string; readonly extension: string }
  | { readonly code: 'file/timed-out'; readonly fileName: string; readonly seconds: number }
  | { readonly code: 'mesh/no-triangles'; readonly fileName: string }
  | { readonly code: 'mesh/zero-size'; readonly fileName: string }
  | { readonly code: 'mesh/not-finite'; readonly fileName: string; readonly count: number }
  | {
      readonly code: 'mesh/index-out-of-range'
      readonly fileName: string
      readonly index: number
      readonly vertices: number
    }
  | { readonly code: 'spectra/unusable'; readonly fileName: string; readonly detail: string }
  | { readonly code: 'document/not-ours'; readonly fileName: string; readonly detail: string }
  | { readonly code: 'document/newer'; readonly fileName: string; readonly found: number; readonly supported: number }
  | { readonly code: 'document/invalid'; readonly fileName: string; readonly path: string; readonly detail: string }
  | { readonly code: 'document/figure-missing'; readonly fileName: string }
  | { readonly code: 'storage/full' }
  | { readonly code: 'storage/unavailable' }
  | { readonly code: 'graphics/unavailable' }
  | { readonly code: 'worker/crashed'; readonly during: string }
  | { readonly code: 'internal'; readonly detail: string }

/** What a file has too much of: its bytes, triangles, vertices, parts, nesting levels, or bytes once inflated. */
export type FileLimit = 'bytes' | 'triangles' | 'vertices' | 'parts' | 'depth' | 'inflated bytes'

export type ProblemCode = Problem['code']

export type Result<T> = { readonly ok: true; readonly value: T } | { readonly ok: false; readonly problem: Problem }

export const ok = <T>(value: T): Result<T> => ({ ok: true, value })
export const fail = (problem: Problem): Result<never> => ({ ok: false, problem })

/** Carries a Problem through code whose signature has no Result. */
export class ProblemError extends Error {
  readonly problem: Problem
  constructor(problem: Problem) {
    super(problem.code)
    this.name = 'ProblemError'
    this.problem = problem
  }
}

/** The Problem inside a thrown value; anything we did not foresee becomes `internal`. */
export function problemOf(thrown: unknown): Problem {
  if (thrown instanceof ProblemError) return thrown.problem
  return { code: 'internal', detail: thrown instanceof Error ? thrown.message : String(thrown) }
}
