import { LIT_SHARE } from '../core/reading/read-areas.ts'
import { defaultDocument } from '../document/default-document.ts'
import { startHistory } from '../document/history.ts'
import type { AppState, Derived, Preferences, Session } from './app-state.ts'

export const PREFERENCE_DEFAULTS: Preferences = {
  cautionsSeen: false,
  startSeen: false,
  readingFolded: false,
  markOutside: false,
  openSections: ['difference'],
  screenPxPerMm: null,
}

const session: Session = {
  ready: false,
  openCoat: null,
  selectedTorch: null,
  gesture: null,
  hover: null,
  pointedArea: null,
  openArea: null,
  litShare: LIT_SHARE,
  intake: null,
  problem: null,
  notice: null,
  dialog: null,
  paintTask: null,
  startStep: 0,
  learning: null,
  guess: null,
}

export const NOTHING_DERIVED: Derived = {
  figure: null,
  fewTriangles: null,
  file: null,
  notes: [],
  sides: { main: null, other: null },
  guess: null,
  readings: { main: null, other: null },
  difference: null,
  panels: null,
  findingAreas: null,
  sideCheck: null,
  checkingSides: null,
  areas: null,
  outside: null,
  progress: null,
  depositMaxUm: 0,
  caught: {},
  angleAdvice: null,
  lightAdvice: null,
  scanning: null,
}

export const initialState = (): AppState => ({
  history: startHistory(defaultDocument()),
  preferences: PREFERENCE_DEFAULTS,
  session,
  derived: NOTHING_DERIVED,
})
