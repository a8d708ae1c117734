import { problemText } from '../app/problem-text.ts'
import type { Problem } from '../core/problem.ts'
import './inline-problem.css'

/** What went wrong and what to do, beside what was tried. */
export function InlineProblem({ problem }: { readonly problem: Problem }) {
  const { title, advice } = problemText(problem)
  return (
    <p role="alert" className="inline-problem">
      <strong>{title}.</strong> {advice}
    </p>
  )
}
