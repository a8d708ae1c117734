import type { Side } from '../app/app-state.ts'
import { Segments } from './controls.tsx'

const SIDES = [
  { id: 'main', label: 'This recipe' },
  { id: 'other', label: 'The other side' },
] as const

/** Which of two compared sides is meant. */
export function SideChoice(props: { readonly value: Side; readonly onChange: (side: Side) => void }) {
  return <Segments label="Which side" choices={SIDES} {...props} />
}
