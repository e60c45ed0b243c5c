import { PlainFrame } from "../components/plain-frame.tsx";

export const metadata = { title: "Not here" };

export default function NotFound() {
  return (
    <PlainFrame>
      <h1>Not here</h1>
      <p className="my-4">There is nothing at this address, or it is not for you to see.</p>
      {/* A plain link: this page goes to the browser with every other one. */}
      <a href="/" className="button" data-tone="primary">
        Go to the first page
      </a>
    </PlainFrame>
  );
}
