import { type DragEvent, type KeyboardEvent, type PointerEvent, useEffect, useRef, useState } from 'react'
import { Button, FileTrigger } from 'react-aria-components'
import { luminanceOfLStar } from '../core/colour/lab.ts'
import { balancedOnGrey, type PhotoPatch, photoPatch } from '../core/colour/photo-patch.ts'
import { hexOf, type LinearRgb } from '../core/colour/srgb.ts'
import { Segments, Stepper } from './controls.tsx'
import { openPhoto } from './open-photo.ts'
import type { SwatchName } from './paint-draft.ts'
import './photo-picker.css'

type PickName = 'grey' | SwatchName

const PICKS: readonly { readonly id: PickName; readonly label: string; readonly needed: boolean }[] = [
  { id: 'grey', label: 'Grey card', needed: true },
  { id: 'overBlack', label: 'Paint on black', needed: true },
  { id: 'overWhite', label: 'Paint on white', needed: true },
  { id: 'blackCard', label: 'Bare black', needed: false },
  { id: 'whiteCard', label: 'Bare white', needed: false },
]

interface Pick {
  /** Share of the photo from the left and from the top, 0…1. */
  readonly u: number
  readonly v: number
  readonly patch: PhotoPatch
}

type Picks = Partial<Record<PickName, Pick>>

/** Value of a photographer's grey card, 18 % of the light. */
const GREY_CARD_VALUE = 49.5
/** Of the photo's longer side: what is averaged is a disc this wide. */
const DISC = 0.015
const LARGEST_DISC_PX = 96

/** Colours off a photo: a grey card takes the lamp out, then each swatch in its turn, by pointer or by keys. */
export function PhotoPicker(props: {
  readonly onPicked: (picked: Partial<Record<SwatchName, string>>) => void
  readonly onCancel: () => void
}) {
  const [photo, setPhoto] = useState<ImageBitmap | null>(null)
  const [trouble, setTrouble] = useState<string | null>(null)
  const [over, setOver] = useState(false)
  const [picks, setPicks] = useState<Picks>({})
  const [now, setNow] = useState<PickName>('grey')
  const [greyValue, setGreyValue] = useState(GREY_CARD_VALUE)
  useEffect(() => () => photo?.close(), [photo])

  const open = async (file: File | undefined) => {
    if (!file) return
    const opened = await openPhoto(file)
    setTrouble(typeof opened === 'string' ? opened : null)
    if (typeof opened === 'string') return
    setPhoto(opened)
    setPicks({})
    setNow('grey')
  }
  const pick = (u: number, v: number) => {
    if (!photo) return
    const next = { ...picks, [now]: { u, v, patch: patchAt(photo, u, v) } }
    setPicks(next)
    setNow(PICKS.find(p => !next[p.id])?.id ?? now)
  }
  const grey = picks.grey?.patch.mean
  const colourOf = (id: PickName): LinearRgb | null => {
    const patch = picks[id]?.patch.mean
    return patch && grey && Math.min(...grey) > 0 ? balancedOnGrey(patch, grey, luminanceOfLStar(greyValue)) : null
  }
  const finish = () => {
    const colours: Partial<Record<SwatchName, string>> = {}
    for (const { id } of PICKS) {
      const colour = colourOf(id)
      if (colour && id !== 'grey') colours[id] = hexOf(...colour)
    }
    props.onPicked(colours)
  }
  const ownDrag = {
    // The window takes files for the figure; these are not.
    onDragEnter: (event: DragEvent) => held(event, () => setOver(true)),
    onDragOver: (event: DragEvent) => held(event, () => {}),
    onDragLeave: (event: DragEvent) => held(event, () => setOver(false)),
    onDrop: (event: DragEvent) =>
      held(event, () => {
        setOver(false)
        void open(event.dataTransfer.files[0])
      }),
  }

  return (
    <section className="photo-picker" aria-label="Colours from a photo" {...ownDrag}>
      {photo ? (
        <PhotoStage photo={photo} picks={picks} label={PICKS.find(p => p.id === now)?.label ?? ''} onPick={pick} />
      ) : (
        <div className="photo-empty" data-over={over || undefined}>
          <p>
            Lay both swatches and a grey card side by side in even light, without glare, and photograph them together.
          </p>
          <p className="quiet">Drop the photo here.</p>
        </div>
      )}
      {trouble && (
        <p className="field-advice" role="alert">
          {trouble}
        </p>
      )}
      {photo && (
        <>
          <Segments
            label="What the crosshair picks"
            className="photo-picks"
            choices={PICKS.map(p => ({ id: p.id, label: p.label }))}
            value={now}
            onChange={setNow}
          />
          <p className="field-advice photo-advice" role="status">
            {PICKS.flatMap(({ id, label }) => {
              const advice = picks[id] && patchAdvice(picks[id].patch)
              return advice ? [`${label}: ${advice}`] : []
            }).join(' ')}
          </p>
          <ul className="photo-found" aria-label="Picked colours">
            {PICKS.map(({ id, label, needed }) => {
              const colour = colourOf(id)
              return (
                <li key={id}>
                  <span className="swatch small-swatch" style={{ background: colour ? hexOf(...colour) : 'none' }} />
                  <span>
                    {label}
                    <span className="paint-about">
                      {colour
                        ? hexOf(...colour)
                        : picks[id]
                          ? 'needs the grey card'
                          : needed
                            ? 'to be picked'
                            : 'if it shows'}
                    </span>
                  </span>
                </li>
              )
            })}
          </ul>
          <Stepper
            label="Value of the grey card"
            hint={<span className="range">49.5 for one of 18 %</span>}
            value={greyValue}
            min={20}
            max={97}
            step={0.5}
            digits={1}
            onChange={setGreyValue}
          />
        </>
      )}
      <div className="photo-foot">
        <Button className="button plain" onPress={props.onCancel}>
          Back
        </Button>
        <FileTrigger acceptedFileTypes={['image/*']} onSelect={files => void open(files?.[0])}>
          <Button className="button">{photo ? 'Another photo' : 'Choose a photo'}</Button>
        </FileTrigger>
        {photo && (
          <Button className="button primary" isDisabled={PICKS.some(p => p.needed && !colourOf(p.id))} onPress={finish}>
            Use these colours
          </Button>
        )}
      </div>
    </section>
  )
}

/** A drag of files that stays here. */
function held(event: DragEvent, then: () => void): void {
  event.preventDefault()
  event.stopPropagation()
  then()
}

function patchAdvice({ clipped, unevenness }: PhotoPatch): string {
  if (clipped > 0.02) return 'burnt out or black; pick beside the glare, or expose the photo otherwise.'
  if (unevenness > 0.12) return 'uneven; pick a place of one colour, away from edges.'
  return ''
}

function discPx(photo: ImageBitmap): number {
  return Math.min(LARGEST_DISC_PX, Math.max(7, Math.round(DISC * Math.max(photo.width, photo.height))))
}

function patchAt(photo: ImageBitmap, u: number, v: number): PhotoPatch {
  const size = discPx(photo)
  const corner = (share: number, length: number) =>
    Math.min(Math.max(0, length - size), Math.max(0, Math.round(share * length - size / 2)))
  const canvas = new OffscreenCanvas(size, size)
  const context = canvas.getContext('2d', { willReadFrequently: true })!
  context.drawImage(photo, corner(u, photo.width), corner(v, photo.height), size, size, 0, 0, size, size)
  return photoPatch(context.getImageData(0, 0, size, size).data, size)
}

/** The photo with its crosshair and what was picked so far. */
function PhotoStage(props: {
  readonly photo: ImageBitmap
  readonly picks: Picks
  /** What is picked next. */
  readonly label: string
  readonly onPick: (u: number, v: number) => void
}) {
  const { photo, picks, label, onPick } = props
  const canvas = useRef<HTMLCanvasElement>(null)
  const [at, setAt] = useState({ u: 0.5, v: 0.5 })
  useEffect(() => {
    const shown = canvas.current
    const context = shown?.getContext('2d')
    if (!shown || !context) return
    const scale = Math.min(1, SHOWN_PX / Math.max(photo.width, photo.height))
    shown.width = Math.round(photo.width * scale)
    shown.height = Math.round(photo.height * scale)
    context.imageSmoothingQuality = 'high'
    context.drawImage(photo, 0, 0, shown.width, shown.height)
  }, [photo])

  const place = (event: PointerEvent) => {
    const box = event.currentTarget.getBoundingClientRect()
    return { u: share((event.clientX - box.left) / box.width), v: share((event.clientY - box.top) / box.height) }
  }
  const onKeyDown = (event: KeyboardEvent) => {
    const [du, dv] = STEPS[event.key] ?? [0, 0]
    const step = event.shiftKey ? 0.002 : 0.02
    if (event.key === 'Enter' || event.key === ' ') onPick(at.u, at.v)
    else if (du !== 0 || dv !== 0) setAt({ u: share(at.u + step * du), v: share(at.v + step * dv) })
    else return
    event.preventDefault()
    event.stopPropagation()
  }
  const spot = (u: number, v: number) => ({ left: `${100 * u}%`, top: `${100 * v}%` })
  return (
    <div
      className="photo-stage"
      role="application"
      // biome-ignore lint/a11y/noNoninteractiveTabindex: the crosshair is moved by arrow keys
      tabIndex={0}
      aria-label={`Photo. Arrow keys move the crosshair, with Shift in small steps; Enter picks: ${label}`}
      onKeyDown={onKeyDown}
      onPointerMove={event => setAt(place(event))}
      onPointerDown={event => {
        const { u, v } = place(event)
        setAt({ u, v })
        onPick(u, v)
      }}
    >
      <canvas ref={canvas} />
      {PICKS.map(({ id }, i) => {
        const picked = picks[id]
        return (
          picked && (
            <span key={id} className="photo-mark" style={spot(picked.u, picked.v)}>
              {i + 1}
            </span>
          )
        )
      })}
      <span className="photo-cross" style={spot(at.u, at.v)} />
      <span className="photo-hint">{label}</span>
    </div>
  )
}

/** Enough to aim at; what is read is the photo itself. */
const SHOWN_PX = 1200
const STEPS: Readonly<Record<string, readonly [number, number]>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
}
const share = (value: number): number => Math.min(1, Math.max(0, value))
