/** Hangrail's mark: a rail, and a hose hung over it in a loop, a second stage at its end. */
export function Mark({ size = 36 }: { size?: number }) {
  return (
    <svg width={size} height={size} viewBox="0 0 48 48" fill="none" aria-hidden="true" focusable="false">
      <path d="M4 11h40" stroke="currentColor" strokeWidth="4" strokeLinecap="round" />
      <path d="M14 33V15a8 8 0 0 1 16 0v14c0 9 8 9 8 2" stroke="currentColor" strokeWidth="3.5" strokeLinecap="round" />
      <circle cx="14" cy="38" r="5.5" stroke="currentColor" strokeWidth="3.5" />
      <circle cx="38" cy="26" r="2.5" fill="currentColor" />
    </svg>
  );
}
