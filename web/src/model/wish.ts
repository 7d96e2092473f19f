// Die set, bender, end and order chosen on the plan page: whoever plans the job plans it so.
import type { Rec, Wish } from "./answers";
import type { Api } from "./api";

export async function wishOf(api: Api, part: string): Promise<Wish> {
  const found = await api.get<{ records: Rec<Wish>[] }>(
    `/records/plan_choice?part=${encodeURIComponent(part)}&limit=10`,
  );
  return found.records.find((record) => record.id === part)?.document ?? {};
}
