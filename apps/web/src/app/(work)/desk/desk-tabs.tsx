import { PageTabs } from "../../../components/page-tabs.tsx";

const tabs = [
  { href: "/desk", name: "Hand out" },
  { href: "/desk/back", name: "Take back" },
] as const;

export const DeskTabs = () => <PageTabs label="Desk" tabs={tabs} />;
