import { PageTabs } from "../../../components/page-tabs.tsx";

const tabs = [
  { href: "/models", name: "Models and limits" },
  { href: "/models/pairings", name: "Pairings" },
];

export const ModelsTabs = () => <PageTabs label="Models" tabs={tabs} className="mb-6" />;
