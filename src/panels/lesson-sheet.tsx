import { useEffect, useState } from 'react'
import { Button } from 'react-aria-components'
import type { Side } from '../app/app-state.ts'
import type { Lesson } from '../document/lessons.ts'
import { useStageHandle } from '../ui/stage-handle.ts'
import { useApp, useDocument } from '../ui/use-app.ts'
import { Frame } from './cautions-dialog.tsx'
import { round } from './controls.tsx'
import { figureTitle } from './figure-title.ts'
import { shareWords, useAnswers } from './lesson-answers.ts'
import { TurningStrip } from './turning-strip.tsx'
import './recipe-dialog.css'

const LINES = 6

/** The lesson as it stands, on one page: to be printed and written on. */
export function LessonSheet({ lesson, onClose }: { readonly lesson: Lesson; readonly onClose: () => void }) {
  const document = useDocument(d => d)
  const answers = useAnswers(lesson)
  const { compare, recipe } = document
  return (
    <Frame
      title="Lesson sheet"
      wide
      isOpen
      onClose={onClose}
      foot={
        <Button className="button primary" onPress={() => window.print()}>
          Print
        </Button>
      }
    >
      <article className="sheet lesson-sheet">
        <header className="sheet-head">
          <h3>{lesson.title}</h3>
          <p>{figureTitle(document.figure)}</p>
        </header>
        <p className="lesson-claim">{lesson.claim}</p>
        <div className="lesson-scene" data-pair={compare.kind === 'recipe' || undefined}>
          <ul className="lesson-pictures">
            <SheetPicture side="main" caption={compare.kind === 'recipe' ? (recipe.coats.at(-1)?.name ?? '') : ''} />
            {compare.kind === 'recipe' && <SheetPicture side="other" caption={compare.recipe.name} />}
          </ul>
          <dl className="lesson-facts">
            {lesson.controls.map(({ label, read, unit, min, max, step }) => (
              <div key={label}>
                <dt>{label}</dt>
                <dd>
                  {min === 0 && max === 1 && step === 1
                    ? read(document) === 1
                      ? 'yes'
                      : 'no'
                    : `${round(read(document), 1)}${unit === '°' || unit === '' ? unit : ` ${unit}`}`}
                </dd>
              </div>
            ))}
            {answers?.map(({ name, measured, expected }) => (
              <div key={name}>
                <dt>{name}</dt>
                <dd>
                  <strong>{shareWords(measured)}</strong>
                  {expected && `; theory: ${shareWords(expected.share)} (${expected.formula})`}
                </dd>
              </div>
            ))}
          </dl>
        </div>
        {lesson.turns && <TurningStrip />}
        <section className="lesson-lines">
          <h4>What I moved, what I saw, and why</h4>
          {Array.from({ length: LINES }, (_, i) => (
            <i key={i} />
          ))}
        </section>
      </article>
    </Frame>
  )
}

/** Twice what is printed at 96 dots an inch. */
const SIZE = { width: 640, height: 640 }

/** Where nothing can be drawn, the page does without. */
function SheetPicture({ side, caption }: { readonly side: Side; readonly caption: string }) {
  const stage = useStageHandle()
  const camera = useDocument(d => d.camera)
  const painted = useApp(s => s.derived.sides[side])
  const [address, setAddress] = useState<string | null>(null)
  useEffect(() => {
    let made: string | null = null
    let left = false
    if (painted && stage.pictures)
      stage.pictures.pictureOf(camera, SIZE, side).then(
        blob => {
          if (left) return
          made = URL.createObjectURL(blob)
          setAddress(made)
        },
        () => setAddress(null),
      )
    return () => {
      left = true
      if (made) URL.revokeObjectURL(made)
    }
  }, [stage, camera, painted, side])
  if (!address) return null
  return (
    <li>
      <img src={address} alt={caption || 'The lesson’s scene'} />
      {caption && <span>{caption}</span>}
    </li>
  )
}
