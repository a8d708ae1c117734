import { useEffect, useRef, useState } from 'react'

const carriesFiles = (event: DragEvent): boolean => event.dataTransfer?.types.includes('Files') ?? false

/**
 * Files dropped anywhere on the page; also keeps the browser from leaving the page for a file that misses.
 * @returns whether files hang over the page now
 */
export function useDroppedFiles(onFiles: (files: readonly File[]) => void): boolean {
  const [over, setOver] = useState(false)
  const latest = useRef(onFiles)
  latest.current = onFiles
  useEffect(() => {
    // Every element on the way announces entering and leaving: over while more were entered than left.
    let depth = 0
    const set = (next: number) => {
      depth = Math.max(0, next)
      setOver(depth > 0)
    }
    const onEnter = (event: DragEvent) => carriesFiles(event) && set(depth + 1)
    const onLeave = (event: DragEvent) => carriesFiles(event) && set(depth - 1)
    const onOver = (event: DragEvent) => {
      if (!carriesFiles(event)) return
      event.preventDefault()
      if (event.dataTransfer) event.dataTransfer.dropEffect = 'copy'
    }
    const onDrop = (event: DragEvent) => {
      if (!carriesFiles(event)) return
      event.preventDefault()
      set(0)
      const files = [...(event.dataTransfer?.files ?? [])]
      if (files.length > 0) latest.current(files)
    }
    window.addEventListener('dragenter', onEnter)
    window.addEventListener('dragleave', onLeave)
    window.addEventListener('dragover', onOver)
    window.addEventListener('drop', onDrop)
    return () => {
      window.removeEventListener('dragenter', onEnter)
      window.removeEventListener('dragleave', onLeave)
      window.removeEventListener('dragover', onOver)
      window.removeEventListener('drop', onDrop)
    }
  }, [])
  return over
}
