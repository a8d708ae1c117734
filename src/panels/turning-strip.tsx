import { useEffect, useRef, useState } from 'react'
import type { Portrait } from '../core/reading/portrait.ts'
import { useApp, useCommands, useDocument } from '../ui/use-app.ts'

const TURNS = 8
const SIZE_PX = 96

/** The same shape at eight turns under a torch and an eye that stay: made when the stage rests, shown until the next ones are. */
export function TurningStrip() {
  const commands = useCommands()
  const recipe = useDocument(d => d.recipe)
  const camera = useDocument(d => d.camera)
  const rests = useApp(
    s => s.session.gesture === null && s.session.intake === null && s.derived.sides.main?.quality === 'refined',
  )
  const figureId = useApp(s => s.derived.figure?.id ?? null)
  const [portraits, setPortraits] = useState<readonly Portrait[]>([])

  // biome-ignore lint/correctness/useExhaustiveDependencies: another recipe, eye or figure asks for other pictures
  useEffect(() => {
    let left = false
    if (rests && figureId)
      commands.turnedPortraits(TURNS, SIZE_PX).then(
        made => !left && setPortraits(made),
        () => !left && setPortraits([]),
      )
    return () => {
      left = true
    }
  }, [commands, rests, recipe, camera, figureId])

  if (portraits.length === 0) return <p className="quiet small">Turning …</p>
  return (
    <ol className="turning-strip">
      {portraits.map((portrait, i) => (
        <li key={i}>
          <Picture portrait={portrait} degrees={(360 * i) / TURNS} />
          <span className="quiet small">{(360 * i) / TURNS}°</span>
        </li>
      ))}
    </ol>
  )
}

function Picture({ portrait, degrees }: { readonly portrait: Portrait; readonly degrees: number }) {
  const canvas = useRef<HTMLCanvasElement>(null)
  const { width, height, rgba, pixelWidthMm, pixelHeightMm } = portrait
  useEffect(() => {
    canvas.current?.getContext('2d')?.putImageData(new ImageData(rgba, width, height), 0, 0)
  }, [rgba, width, height])
  return (
    <canvas
      ref={canvas}
      width={width}
      height={height}
      role="img"
      aria-label={`Turned by ${degrees}°`}
      style={{ aspectRatio: `${width * pixelWidthMm} / ${height * pixelHeightMm}` }}
    />
  )
}
