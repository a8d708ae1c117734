import { ProblemError } from '../core/problem.ts'
import type { ViewReading } from '../core/reading/reading.ts'
import type { Camera } from '../document/document.ts'
import type { StagePictures } from '../ui/stage-handle.ts'
import { percent, values } from './reading-panel.tsx'

export interface Comparison {
  readonly main: ViewReading
  readonly other: ViewReading
  readonly names: { readonly main: string; readonly other: string }
  /** The sentence that says what differs. */
  readonly words: string
}

const SIDE = { width: 1200, height: 1350 }
const MARGIN = 48
const LINE = 44
const FONT = '"Inter Variable", system-ui, sans-serif'
/** As on the stage: colours are judged against it. */
const SURROUND = '#777777'

/** Both sides from one camera, side by side, each with its caption, the sentence below. Throws like `pictureOf`. */
export async function comparisonPicture(
  pictures: StagePictures,
  camera: Camera,
  comparison: Comparison,
): Promise<Blob> {
  const canvas = document.createElement('canvas')
  canvas.width = 2 * SIDE.width
  const context = canvas.getContext('2d', { colorSpace: 'srgb' })
  if (!context) throw new ProblemError({ code: 'graphics/unavailable' })
  context.font = `30px ${FONT}`
  const sentence = wrapped(context, comparison.words, canvas.width - 2 * MARGIN)
  const captionTop = SIDE.height + MARGIN
  const sentenceTop = captionTop + 3 * LINE
  // Setting the size clears the canvas and everything set on it.
  canvas.height = sentenceTop + sentence.length * LINE + MARGIN
  context.fillStyle = SURROUND
  context.fillRect(0, 0, canvas.width, SIDE.height)
  context.fillStyle = '#333333'
  context.fillRect(0, SIDE.height, canvas.width, canvas.height - SIDE.height)
  context.textBaseline = 'top'
  for (const [i, side] of (['main', 'other'] as const).entries()) {
    const picture = await createImageBitmap(await pictures.pictureOf(camera, SIDE, side))
    context.drawImage(picture, i * SIDE.width, 0)
    picture.close()
    const left = i * SIDE.width + MARGIN
    context.fillStyle = '#f6f6f6'
    context.font = `600 36px ${FONT}`
    context.fillText(comparison.names[side], left, captionTop, SIDE.width - 2 * MARGIN)
    context.font = `30px ${FONT}`
    context.fillStyle = '#d2d2d2'
    context.fillText(captionOf(comparison[side]), left, captionTop + LINE + 6, SIDE.width - 2 * MARGIN)
  }
  context.fillStyle = '#f6f6f6'
  for (const [i, line] of sentence.entries()) context.fillText(line, MARGIN, sentenceTop + i * LINE)
  return new Promise((resolve, reject) => {
    canvas.toBlob(
      blob => (blob ? resolve(blob) : reject(new ProblemError({ code: 'graphics/unavailable' }))),
      'image/png',
    )
  })
}

function captionOf(reading: ViewReading): string {
  const left = reading.contrastLeft === null ? '' : `, ${percent(reading.contrastLeft)} % of the pre-shade`
  return `Values ${values(reading)}, contrast ${Math.round(reading.contrast)}${left}`
}

function wrapped(context: CanvasRenderingContext2D, text: string, width: number): string[] {
  const lines: string[] = []
  for (const word of text.split(' ')) {
    const longer = lines.length > 0 ? `${lines[lines.length - 1]} ${word}` : word
    if (lines.length > 0 && context.measureText(longer).width <= width) lines[lines.length - 1] = longer
    else lines.push(word)
  }
  return lines
}
