import { useEffect, useState } from 'react'
import { useApp } from '../ui/use-app.ts'

const SHOWN_MS = 4000

/** Says in passing that something worked. */
export function NoticeToast() {
  const notice = useApp(s => s.session.notice)
  const [gone, setGone] = useState<string | null>(null)
  useEffect(() => {
    setGone(null)
    if (notice === null) return
    const timer = setTimeout(() => setGone(notice), SHOWN_MS)
    return () => clearTimeout(timer)
  }, [notice])
  return (
    <div role="status" className="toast-place">
      {notice !== null && gone !== notice && <p className="toast">{notice}</p>}
    </div>
  )
}
