import { PageTabs } from "../../../components/page-tabs.tsx";

const tabs = [
  { href: "/kits", name: "Kits" },
  { href: "/gauges", name: "Test gauges" },
];

export const StoresTabs = () => <PageTabs label="Kits and test gauges" tabs={tabs} className="mb-6" />;
