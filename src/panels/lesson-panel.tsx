import { useEffect, useRef, useState } from 'react'
import { Button } from 'react-aria-components'
import {
  LESSONS,
  type Lesson,
  type LessonAnswer,
  type LessonControl,
  type LessonId,
  lessonOf,
  type SolidName,
  solidOf,
} from '../document/lessons.ts'
import { useApp, useCommands, useDocument } from '../ui/use-app.ts'
import { Choose, Drag, Explained, Fold, Toggle } from './controls.tsx'
import { GuessPanel } from './guess-panel.tsx'
import { Icon } from './icons.tsx'
import { shareWords, useAnswers } from './lesson-answers.ts'
import { LessonSheet } from './lesson-sheet.tsx'
import { TurningStrip } from './turning-strip.tsx'
import './lesson-panel.css'

const GUESS_TITLE = 'Guess the highlight'

/** Lessons in the reading's place: the list, or the one that stands on the stage. */
export function LessonPanel() {
  const commands = useCommands()
  const lesson = useApp(s => s.session.learning?.lesson ?? null)
  const panel = useRef<HTMLElement>(null)
  // The panel's text changes under the focus: read it out from the top.
  // biome-ignore lint/correctness/useExhaustiveDependencies: runs when the lesson changes
  useEffect(() => panel.current?.focus(), [lesson])
  return (
    <aside ref={panel} className="start lesson" aria-labelledby="lesson-heading" tabIndex={-1}>
      <div className="start-head">
        {lesson === null ? (
          <p className="quiet">Learn</p>
        ) : (
          <Button className="button plain lesson-list-button" onPress={() => commands.learn(null)}>
            <Icon name="left" />
            All lessons
          </Button>
        )}
        <Button className="button" onPress={commands.stopLearning}>
          Back to my figure
        </Button>
      </div>
      {lesson === null ? (
        <List />
      ) : lesson === 'guess' ? (
        <GuessPanel />
      ) : (
        <Standing key={lesson} lesson={lessonOf(lesson)} />
      )}
    </aside>
  )
}

function List() {
  const commands = useCommands()
  return (
    <>
      <h2 id="lesson-heading">Where the light falls, and why</h2>
      <p className="quiet small">A lesson has a stage of its own: your figure and its undo are kept as they are.</p>
      <ul className="lesson-list">
        {LESSONS.map(({ id, title, claim }) => (
          <li key={id}>
            <Button className="lesson-choice" onPress={() => commands.learn(id)}>
              <strong>{title}</strong>
              <span className="quiet small">{claim}</span>
            </Button>
          </li>
        ))}
        <li>
          <Button className="lesson-choice" onPress={() => commands.practise()}>
            <strong>{GUESS_TITLE}</strong>
            <span className="quiet small">Paint where a torch’s light will fall, then see where it does.</span>
          </Button>
        </li>
      </ul>
    </>
  )
}

function Standing({ lesson }: { readonly lesson: Lesson }) {
  const [sheet, setSheet] = useState(false)
  return (
    <>
      <h2 id="lesson-heading">{lesson.title}</h2>
      <p className="lesson-claim">{lesson.claim}</p>
      <OnWhat lesson={lesson} />
      <div className="lesson-controls">
        {lesson.controls.map(control => (
          <Control key={control.label} control={control} />
        ))}
      </div>
      <Answers lesson={lesson} />
      {lesson.turns && (
        <Fold title="The shape turning under the torch" level={3} onlyWhileOpen>
          <TurningStrip />
        </Fold>
      )}
      <div className="lesson-end">
        <Next lesson={lesson.id} />
        <Button className="button plain" onPress={() => setSheet(true)}>
          Lesson sheet to print
        </Button>
      </div>
      {sheet && <LessonSheet lesson={lesson} onClose={() => setSheet(false)} />}
    </>
  )
}

/** The guess comes last. */
function Next({ lesson }: { readonly lesson: LessonId }) {
  const commands = useCommands()
  const next = LESSONS[LESSONS.findIndex(({ id }) => id === lesson) + 1]
  return (
    <Button className="button" onPress={() => (next ? commands.learn(next.id) : commands.practise())}>
      Next: {next?.title ?? GUESS_TITLE}
    </Button>
  )
}

const SOLID_TITLES: { readonly [S in SolidName]: string } = {
  sphere: 'a sphere',
  cylinder: 'a cylinder',
  cube: 'a cube',
  cone: 'a cone',
  'stepped-block': 'steps',
}

function OnWhat({ lesson }: { readonly lesson: Lesson }) {
  const commands = useCommands()
  const mine = useApp(s => s.history.present.figure === s.session.learning?.aside?.present.figure)
  const solid = useDocument(d => solidOf(d, lesson))
  return (
    <Choose<SolidName | 'mine'>
      label="Seen on"
      choices={[...lesson.solids.map(id => ({ id, label: SOLID_TITLES[id] })), { id: 'mine', label: 'my figure' }]}
      value={mine ? 'mine' : solid}
      onChange={commands.learnOn}
    />
  )
}

function Control({ control }: { readonly control: LessonControl }) {
  const commands = useCommands()
  const value = useDocument(control.read)
  const move = (to: number, gesture?: string) => commands.setLesson(document => control.write(document, to), gesture)
  if (control.min === 0 && control.max === 1 && control.step === 1)
    return (
      <Toggle isSelected={value === 1} onChange={on => move(on ? 1 : 0)}>
        {control.label}
      </Toggle>
    )
  return (
    <Drag
      label={control.label}
      value={value}
      min={control.min}
      max={control.max}
      step={control.step}
      unit={control.unit}
      digits={1}
      gesture={`lesson ${control.label}`}
      onChange={move}
    />
  )
}

function Answers({ lesson }: { readonly lesson: Lesson }) {
  const answers = useAnswers(lesson)
  if (!answers) return <p className="quiet">Spraying …</p>
  return (
    <div className="lesson-answers" aria-live="polite">
      {answers.map(answer => (
        <Answer key={answer.name} answer={answer} />
      ))}
    </div>
  )
}

function Answer({ answer: { name, measured, expected } }: { readonly answer: LessonAnswer }) {
  return (
    <div className="lesson-answer">
      <span className="quiet small">{name}</span>
      <span className="big-number">{shareWords(measured)}</span>
      {expected && (
        <Explained why={`Computed apart from the mesh: ${expected.formula}.`}>
          theory says {shareWords(expected.share)}
        </Explained>
      )}
    </div>
  )
}
