import { type Lesson, type LessonAnswer, solidOf } from '../document/lessons.ts'
import { useApp, useDocument } from '../ui/use-app.ts'

/** The numbers of the lesson on the stage; null until it is sprayed and read. */
export function useAnswers(lesson: Lesson): readonly LessonAnswer[] | null {
  const document = useDocument(d => d)
  const main = useApp(s => s.derived.readings.main)
  const other = useApp(s => s.derived.readings.other)
  const figure = useApp(s => s.derived.figure)
  if (!main || !figure) return null
  return lesson.answers({ document, main, other, solid: solidOf(document, lesson), heightMm: figure.heightMm })
}

export const shareWords = (share: number): string => `${(100 * share).toFixed(1)} %`
