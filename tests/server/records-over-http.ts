import type { KeptView } from "@pinwalk/host/server/records/records-contract.js";
import { WorkbenchClient } from "./workbench-client.js";

export interface Answer<T = { readonly code: string; readonly message: string }> {
  readonly status: number;
  readonly body: T;
}

/** Sends JSON as the dashboard does. */
export async function post<T>(url: string, body: unknown): Promise<Answer<T>> {
  const response = await fetch(url, {
    method: "POST",
    headers: { "content-type": "application/json" },
    body: JSON.stringify(body),
  });
  return { status: response.status, body: (await response.json()) as T };
}

export async function look<T>(url: string): Promise<Answer<T>> {
  const response = await fetch(url);
  return { status: response.status, body: (await response.json()) as T };
}

/** A client that has walked the plan of this name to its verdict. */
export async function walked(url: string, planName = "Alder Creek loan hatchback"): Promise<WorkbenchClient> {
  const client = await WorkbenchClient.open(url);
  const plan = client.state.plans.list.find(({ name }) => name === planName);
  await client.must("plan:choose", { planId: plan?.id ?? "" });
  await client.walkToTheEnd();
  return client;
}

export const words = { kind: "vehicle", serial: "KX-4471-QB", person: "R. Calder", photos: [] } as const;

export function keep(url: string, walkNumber: number, more: object = {}): Promise<Answer<KeptView>> {
  return post<KeptView>(`${url}/records/keep`, { ...words, walkNumber, ...more });
}
