import { PageHead } from "../../../../components/page-head.tsx";
import { MySecret } from "./my-secret.tsx";

export const metadata = { title: "My PIN and password" };

export default function MySecretPage() {
  return (
    <>
      <PageHead title="My PIN and password" lead="What you record is signed with your name. Keep both to yourself." />
      <MySecret />
    </>
  );
}
