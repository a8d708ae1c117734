import { type ReactNode, useEffect, useRef, useState } from 'react'
import { Button } from 'react-aria-components'
import type { Recipe } from '../core/recipe/recipe.ts'
import { useApp, useAppHandle, useCommands, useDocument } from '../ui/use-app.ts'
import { Drag, IconButton } from './controls.tsx'
import { percent } from './reading-panel.tsx'
import {
  blackFigure,
  coloured,
  START_BACK,
  START_COLOUR,
  START_FRONT,
  START_PASSES,
  START_PRESHADE,
  START_THIN_UM,
  sprayed,
} from './start-recipe.ts'
import './beginners-start.css'

const STEPS = ['welcome', 'black', 'front', 'back', 'greys', 'colour'] as const

/** One pass takes about a second by hand; shown a little faster, so that two minutes are enough. */
const PASS_MS = 400

/** A beginner's first two minutes, on a real document: a card beside the figure, never over it. */
export function BeginnersStart() {
  const open = useApp(s => s.session.dialog === 'start')
  return open ? <StartCard /> : null
}

function StartCard() {
  const commands = useCommands()
  const { store } = useAppHandle()
  const step = STEPS[useApp(s => s.session.startStep)] ?? 'welcome'
  const [before, setBefore] = useState<Recipe | null>(null)
  const spraying = useSpraying()
  const card = useRef<HTMLElement>(null)
  const go = (to: (typeof STEPS)[number]) => commands.select({ startStep: STEPS.indexOf(to) })

  // The card's text changes under the focus: read it out from the top.
  // biome-ignore lint/correctness/useExhaustiveDependencies: runs when the step changes
  useEffect(() => card.current?.focus(), [step])

  const leave = (bringBack: boolean) => {
    spraying.stop()
    if (bringBack && before) commands.setRecipe(before, 'Bring my recipe back')
    commands.setPreferences({ startSeen: true })
    commands.select({ dialog: null, startStep: 0 })
  }

  const begin = () => {
    setBefore(store.getState().history.present.recipe)
    commands.setCompare({ kind: 'off' })
    commands.setLook({ kind: 'painted' })
    commands.setRecipe(blackFigure(), 'Begin with a black figure')
    commands.goToView('hand')
    commands.select({ openCoat: null, selectedTorch: null })
    go('black')
  }

  const sprayFront = () => {
    go('front')
    commands.setRecipe(sprayed(1, null), 'Spray front')
    commands.select({ openCoat: START_PRESHADE })
    spraying.run(passes => commands.setTorch(START_FRONT, { passes }, 'start-front'), commands.endGesture)
  }

  const sprayBack = () => {
    go('back')
    commands.goToView('back')
    commands.setRecipe(sprayed(START_PASSES, 1), 'Spray back')
    spraying.run(passes => commands.setTorch(START_BACK, { passes }, 'start-back'), commands.endGesture)
  }

  const seeGreys = () => {
    commands.goToView('table')
    commands.select({ openCoat: null })
    go('greys')
  }

  const addColour = () => {
    commands.setRecipe(coloured(START_THIN_UM), 'Add a colour')
    go('colour')
  }

  return (
    <section ref={card} className="start" aria-labelledby="start-heading" tabIndex={-1}>
      <div className="start-head">
        <ol className="start-dots" aria-label={`Step ${STEPS.indexOf(step) + 1} of ${STEPS.length}`}>
          {STEPS.map(name => (
            <li key={name} data-now={name === step || undefined} />
          ))}
        </ol>
        <IconButton icon="close" label="Skip the start" className="compact" onPress={() => leave(before !== null)} />
      </div>
      {step === 'welcome' && (
        <Page title="Your first two minutes">
          <p>
            Spray a black figure white from the front and from the back, then put one colour over it, and see what is
            left of the light.
          </p>
          <p className="quiet small">
            Your own recipe is kept: it comes back at the end, and undo brings it back at any time.
          </p>
          <div className="start-row">
            <Button className="button primary" onPress={begin}>
              Begin
            </Button>
            <Button className="button plain" onPress={() => leave(false)}>
              Skip
            </Button>
          </div>
        </Page>
      )}
      {step === 'black' && (
        <Page title="A black figure">
          <p>Only primer so far. Now thin white: think of the airbrush as a torch, and of paint as its light.</p>
          <Button className="button primary" onPress={sprayFront}>
            Spray front
          </Button>
        </Page>
      )}
      {step === 'front' && (
        <Page title={`Front: pass ${spraying.passes} of ${START_PASSES}`}>
          <p>Each pass adds a little white wherever the torch reaches. What it cannot reach stays dark.</p>
          <Button className="button primary" isDisabled={spraying.busy} onPress={sprayBack}>
            Spray back
          </Button>
        </Page>
      )}
      {step === 'back' && (
        <Page title={`Back: pass ${spraying.passes} of ${START_PASSES}`}>
          <p>Front and back are never seen together, so each is lit for itself.</p>
          <Button className="button primary" isDisabled={spraying.busy} onPress={seeGreys}>
            See the greys
          </Button>
        </Page>
      )}
      {step === 'greys' && (
        <Page title="That is the pre-shade">
          <p>
            Hold it against five even steps from dark to light: the more of them a figure shows, the plainer its shapes
            read.
          </p>
          <Values />
          <Button className="button primary" onPress={addColour}>
            Put a colour over it
          </Button>
        </Page>
      )}
      {step === 'colour' && <ColourPage onKeep={() => leave(false)} onBack={() => leave(true)} />}
    </section>
  )
}

function Page({ title, children }: { readonly title: string; readonly children: ReactNode }) {
  return (
    <>
      <h2 id="start-heading">{title}</h2>
      {children}
    </>
  )
}

function Values() {
  const reading = useApp(s => s.derived.readings.main)
  if (!reading) return null
  return (
    <p className="quiet">
      This one goes from value {Math.round(reading.valueFrom)} to {Math.round(reading.valueTo)}.
    </p>
  )
}

function ColourPage({ onKeep, onBack }: { readonly onKeep: () => void; readonly onBack: () => void }) {
  const commands = useCommands()
  const coat = useDocument(d => d.recipe.coats.find(c => c.id === START_COLOUR))
  const reading = useApp(s => s.derived.readings.main)
  const thicknessUm = coat?.kind === 'even' ? coat.thicknessUm : 0
  const left = reading?.contrastLeft ?? null
  return (
    <Page title="Thin to thick">
      <p className="start-number" aria-live="polite">
        <span className="big-number">{left === null ? '…' : `${percent(left)} %`}</span> of the contrast left
      </p>
      <Drag
        label="One colour, all over"
        value={thicknessUm}
        min={0.2}
        max={12}
        step={0.2}
        shown={thicknessUm < 2 ? 'thin' : thicknessUm < 6 ? 'thicker' : 'thick'}
        gesture="start-thickness"
        onChange={(um, gesture) => commands.setThickness(START_COLOUR, um, gesture)}
      />
      <p>
        A thin coat lets light through to the greys and back; in a thick one it meets pigment first and never gets that
        far.
      </p>
      <div className="start-row">
        <Button className="button primary" onPress={onBack}>
          Bring my recipe back
        </Button>
        <Button className="button plain" onPress={onKeep}>
          Keep this one
        </Button>
      </div>
    </Page>
  )
}

/** Stands on the stage beside the figure while its greys are judged. */
export function FiveStepCard() {
  const shown = useApp(s => s.session.dialog === 'start' && STEPS[s.session.startStep] === 'greys')
  return shown ? <FiveSteps /> : null
}

/** Greys of CIE lightness 10, 30, 50, 70 and 90 as sRGB. */
const STEP_CARD = [
  { value: 90, hex: '#e2e2e2' },
  { value: 70, hex: '#ababab' },
  { value: 50, hex: '#777777' },
  { value: 30, hex: '#474747' },
  { value: 10, hex: '#1b1b1b' },
]

function FiveSteps() {
  return (
    <ol className="five-steps" aria-label="Five even steps of value">
      {STEP_CARD.map(({ value, hex }) => (
        <li key={value} style={{ background: hex, color: value > 50 ? '#111' : '#fff' }}>
          {value}
        </li>
      ))}
    </ol>
  )
}

/** Passes appearing one by one; all at once for whoever wants less motion. */
function useSpraying() {
  const [passes, setPasses] = useState(0)
  const timer = useRef<ReturnType<typeof setInterval> | undefined>(undefined)
  const stop = () => {
    clearInterval(timer.current)
    timer.current = undefined
  }
  useEffect(() => () => clearInterval(timer.current), [])
  return {
    passes,
    busy: passes < START_PASSES,
    stop,
    run(spray: (passes: number) => void, done: () => void) {
      stop()
      const show = (count: number) => {
        setPasses(count)
        spray(count)
        if (count < START_PASSES) return
        stop()
        done()
      }
      if (window.matchMedia('(prefers-reduced-motion: reduce)').matches) return show(START_PASSES)
      let count = 1
      show(count)
      timer.current = setInterval(() => show(++count), PASS_MS)
    },
  }
}
