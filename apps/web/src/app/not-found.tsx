import { ButtonLink } from "../components/button.tsx";
import { PlainFrame } from "../components/plain-frame.tsx";

export const metadata = { title: "Not here" };

export default function NotFound() {
  return (
    <PlainFrame>
      <h1>Not here</h1>
      <p className="my-4">There is nothing at this address, or it is not for you to see.</p>
      <ButtonLink href="/" tone="primary">
        Go to the first page
      </ButtonLink>
    </PlainFrame>
  );
}
