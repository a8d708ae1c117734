import { useState } from 'react'
import { Button, FileTrigger, TextArea, TextField } from 'react-aria-components'
import type { Guess } from '../app/app-state.ts'
import { luminanceOfLStar } from '../core/colour/lab.ts'
import { JUDGED } from '../core/teach/guess-colours.ts'
import type { GuessScore } from '../core/teach/guess-score.ts'
import { TAUGHT_COAT } from '../document/lessons.ts'
import { useApp, useCommands, useDocument } from '../ui/use-app.ts'
import { Drag, Explained, Fold, Segments } from './controls.tsx'
import { NameField } from './name-field.tsx'
import { saveAs } from './save-as.ts'

const TOOLS = [
  { id: 'paint', label: 'Paint' },
  { id: 'rub', label: 'Rub out' },
  { id: 'turn', label: 'Turn' },
] as const

/** Paint where the light will fall, then see where it does. */
export function GuessPanel() {
  const guess = useApp(s => s.session.guess)
  if (!guess) return null
  return (
    <>
      <h2 id="lesson-heading">{guess.task.title || 'Guess the highlight'}</h2>
      <p className="lesson-claim">{guess.task.question}</p>
      {guess.score ? <Judged guess={guess} score={guess.score} /> : <Painting guess={guess} />}
      <SetTask guess={guess} />
    </>
  )
}

function Painting({ guess }: { readonly guess: Guess }) {
  const commands = useCommands()
  const ready = useApp(s => s.derived.guess !== null && s.derived.sides.main !== null)
  return (
    <>
      <p className="quiet small">
        Paint on the figure with mouse or pen; with the keyboard, arrows move the brush and space paints. Only what is
        seen from here counts.
      </p>
      <Segments label="Brush" choices={TOOLS} value={guess.tool} onChange={tool => commands.setGuess({ tool })} />
      <Drag
        label="Brush"
        value={guess.brushMm}
        min={0.5}
        max={8}
        step={0.1}
        digits={1}
        unit="mm"
        gesture="brush"
        onChange={brushMm => commands.setGuess({ brushMm })}
      />
      <div className="start-row">
        <Button className="button primary" isDisabled={!ready} onPress={() => void commands.judgeGuess()}>
          See where it falls
        </Button>
        <Button className="button plain" onPress={() => void commands.brushGuess([])}>
          Clear
        </Button>
      </div>
    </>
  )
}

function Judged({ guess, score }: { readonly guess: Guess; readonly score: GuessScore }) {
  const commands = useCommands()
  return (
    <>
      <div className="lesson-answers" aria-live="polite">
        <div className="lesson-answer">
          <span className="quiet small">Your guess and the light overlap by</span>
          <span className="big-number">{shareOf(score.overlap)}</span>
          <Explained why="Surface that is both painted and lit, over surface that is either.">
            {verdictOf(score.overlap)}
          </Explained>
        </div>
        <p>
          You missed {shareOf(score.missed)} of what is lit; {shareOf(score.wrong)} of what you painted stays dark.
          {score.edgeErrorMm !== null &&
            ` Your edges and the true ones lie ${score.edgeErrorMm.toFixed(1)} mm apart on average.`}
        </p>
      </div>
      <Segments
        label="Show"
        choices={[
          { id: 'guess', label: 'Guess' },
          { id: 'torch', label: 'Spray' },
        ]}
        value={guess.shows}
        onChange={shows => commands.setGuess({ shows })}
      />
      {guess.shows === 'guess' && (
        <ul className="judged-legend">
          {[...JUDGED].reverse().map(({ lStar, words }) => (
            <li key={words}>
              <span className="difference-grey" style={{ background: greyOf(lStar) }} />
              {words}
            </li>
          ))}
        </ul>
      )}
      <div className="start-row">
        <Button className="button primary" onPress={() => void commands.brushGuess([])}>
          Guess again
        </Button>
      </div>
    </>
  )
}

/** A teacher's side: another torch, another question, handed on as a file. */
function SetTask({ guess }: { readonly guess: Guess }) {
  const commands = useCommands()
  const torch = useDocument(d => {
    const coat = d.recipe.coats.find(c => c.id === TAUGHT_COAT)
    return coat?.kind === 'mist' ? (coat.torches[0] ?? null) : null
  })
  const [saved, setSaved] = useState(false)
  const { task } = guess
  const save = () => {
    const { fileName, text } = commands.taskFile()
    saveAs(fileName, new Blob([text], { type: 'application/json' }))
    commands.announce(`Saved ${fileName}`)
    setSaved(true)
  }
  return (
    <Fold title="Set a task for others" level={3}>
      <p className="quiet small">Torch, figure and view are taken as they stand now.</p>
      <NameField
        label="Title"
        value={task.title}
        onChange={title => commands.setGuess({ task: { ...task, title: title.slice(0, 200) } })}
      />
      <TextField
        className="task-question"
        aria-label="Question"
        value={task.question}
        maxLength={2000}
        onChange={question => commands.setGuess({ task: { ...task, question } })}
      >
        <TextArea rows={3} placeholder="What is asked" />
      </TextField>
      {torch && (
        <>
          <Drag
            label="Torch around the figure"
            value={torch.azimuthDegrees}
            min={-180}
            max={180}
            step={5}
            unit="°"
            gesture="task torch"
            onChange={(azimuthDegrees, gesture) => commands.setTorch(torch.id, { azimuthDegrees }, gesture)}
          />
          <Drag
            label="Height of the torch"
            value={torch.elevationDegrees}
            min={-90}
            max={90}
            step={5}
            unit="°"
            gesture="task torch"
            onChange={(elevationDegrees, gesture) => commands.setTorch(torch.id, { elevationDegrees }, gesture)}
          />
        </>
      )}
      <div className="start-row">
        <Button className="button" onPress={save}>
          {saved ? 'Save again' : 'Save the task'}
        </Button>
        <FileTrigger
          acceptedFileTypes={['.json']}
          onSelect={files => files && void commands.openFiles([...files].slice(0, 1))}
        >
          <Button className="button plain">Open a task</Button>
        </FileTrigger>
      </div>
    </Fold>
  )
}

/** Number and sign stay on one line. */
const shareOf = (share: number): string => `${Math.round(100 * share)}\u00a0%`

const verdictOf = (overlap: number): string =>
  overlap > 0.8 ? 'you see the light' : overlap > 0.55 ? 'close' : overlap > 0.3 ? 'partly' : 'look again'

function greyOf(lStar: number): string {
  const y = luminanceOfLStar(lStar)
  return `color(srgb-linear ${y} ${y} ${y})`
}
