import { PageHead } from "../../../components/page-head.tsx";

export const metadata = { title: "Today" };

export default function TodayPage() {
  return <PageHead title="Today" lead="What matters today." />;
}
