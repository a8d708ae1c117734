import { useEffect, useState } from 'react'
import type { NamedView } from '../document/document.ts'
import { useStageHandle } from '../ui/stage-handle.ts'
import { useApp } from '../ui/use-app.ts'
import { VIEW_NAMES } from './views-bar.tsx'

export const SHEET_VIEWS: readonly NamedView[] = ['table', 'hand', 'front', 'back']

/** Twice what is printed at 96 dots an inch. */
const SIZE = { width: 440, height: 560 }

/** The recipe from the angles people look from. Where nothing can be drawn, the page does without. */
export function RecipePictures() {
  const stage = useStageHandle()
  const painted = useApp(s => s.derived.sides.main)
  const [pictures, setPictures] = useState<readonly { view: NamedView; address: string }[]>([])

  useEffect(() => {
    let left = false
    const made: string[] = []
    const draw = async () => {
      const done: { view: NamedView; address: string }[] = []
      for (const view of SHEET_VIEWS) {
        if (left || !stage.pictures) return
        const address = URL.createObjectURL(await stage.pictures.pictureOf(view, SIZE))
        made.push(address)
        done.push({ view, address })
      }
      if (!left) setPictures(done)
    }
    if (painted) draw().catch(() => setPictures([]))
    return () => {
      left = true
      for (const address of made) URL.revokeObjectURL(address)
    }
  }, [stage, painted])

  if (pictures.length === 0) return null
  return (
    <ul className="recipe-pictures">
      {pictures.map(({ view, address }) => (
        <li key={view}>
          <img src={address} alt={`The figure ${VIEW_NAMES[view].toLowerCase()}`} />
          <span>{VIEW_NAMES[view]}</span>
        </li>
      ))}
    </ul>
  )
}
