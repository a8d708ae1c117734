import { afterEach, beforeEach, expect, test, vi } from 'vitest'
import { createStore } from 'zustand'
import type { AppState } from '../app/app-state.ts'
import { ON_STAGE, pacedStore } from './paced-store.ts'

beforeEach(() => void vi.useFakeTimers())
afterEach(() => void vi.useRealTimers())

const held = (gesture: string | null, step: number) => ({ session: { gesture }, step }) as never as AppState

function watched() {
  const store = createStore<AppState>(() => held(null, 0))
  const paced = pacedStore(store)
  const seen: unknown[] = []
  paced.subscribe(state => seen.push((state as never as { step: number }).step))
  return { store, paced, seen }
}

test('a drag on the stage is followed in steps, and its end at once', () => {
  const { store, paced, seen } = watched()
  for (let step = 1; step <= 50; step++) {
    store.setState(held(`${ON_STAGE}nozzle`, step))
    vi.advanceTimersByTime(20)
  }
  expect(seen).toEqual([20, 40])
  store.setState(held(null, 50))
  expect(seen).toEqual([20, 40, 50])
  expect(paced.getState()).toBe(store.getState())
  vi.advanceTimersByTime(1000)
  expect(seen).toHaveLength(3)
})

test('what a panel itself drags is there at once', () => {
  const { store, seen } = watched()
  for (let step = 1; step <= 3; step++) store.setState(held('torch:1', step))
  expect(seen).toEqual([1, 2, 3])
})

test('the last state of a hand that stops but holds on is shown', () => {
  const { store, paced } = watched()
  store.setState(held(`${ON_STAGE}aim`, 1))
  vi.advanceTimersByTime(1000)
  expect(paced.getState()).toBe(store.getState())
})
