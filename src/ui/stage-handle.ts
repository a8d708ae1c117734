import { createContext, createElement, type ReactNode, useContext } from 'react'
import type { Side } from '../app/app-state.ts'
import type { Camera, NamedView } from '../document/document.ts'

/** Pixels of a picture. */
export interface PictureSize {
  readonly width: number
  readonly height: number
}

/** What the stage can do for the rest of the page while it stands. */
export interface StagePictures {
  /**
   * What the stage shows now, comparison included, without torches: a PNG of the figure's exact colours.
   * @param withBackground false leaves the surround transparent
   * @throws ProblemError 'graphics/unavailable' where nothing can be drawn
   */
  exportPng(size: PictureSize, withBackground: boolean): Promise<Blob>
  /** One side alone from a view, fitted into the picture, transparent around it. Throws like `exportPng`. */
  pictureOf(view: NamedView | Camera, size: PictureSize, side?: Side): Promise<Blob>
}

/** Filled in by the stage while it is mounted, null otherwise: panels may ask for pictures but not import the scene. */
export interface StageHandle {
  pictures: StagePictures | null
}

export const createStageHandle = (): StageHandle => ({ pictures: null })

const StageHandleContext = createContext<StageHandle>(createStageHandle())

export function StageHandleProvider(props: { readonly handle: StageHandle; readonly children?: ReactNode }) {
  return createElement(StageHandleContext, { value: props.handle }, props.children)
}

export const useStageHandle = (): StageHandle => useContext(StageHandleContext)
