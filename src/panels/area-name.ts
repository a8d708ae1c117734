import type { Panel } from '../core/surface/figure-panels.ts'

/** What the user calls an area, else its own name. */
export function areaName(panel: Panel, names: Readonly<Record<string, string>>): string {
  const name = names[panel.id] ?? panel.name
  return name.charAt(0).toUpperCase() + name.slice(1)
}
