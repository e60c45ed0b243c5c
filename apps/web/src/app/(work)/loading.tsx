/** Stands while a page is being made. */
export default function Loading() {
  return (
    <p role="status" className="p-8 text-xl">
      Being read…
    </p>
  );
}
