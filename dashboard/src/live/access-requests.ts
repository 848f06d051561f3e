import type { CodeRequest, CodeView } from "@pinwalk/host/server/access/access-contract.js";

/** What the server said; a refusal is a value with words for people, never an exception. */
type Answered<T> = { readonly ok: true; readonly value: T } | { readonly ok: false; readonly message: string };

async function post<T>(path: string, body: object): Promise<Answered<T>> {
  try {
    const response = await fetch(`/access/${path}`, {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify(body),
    });
    const answer = (await response.json()) as T & { readonly message: string };
    return response.ok ? { ok: true, value: answer } : { ok: false, message: answer.message };
  } catch {
    return { ok: false, message: "The computer at the bench does not answer. Try again." };
  }
}

/** Makes a code that lets one browser in. */
export const makeCode = (request: CodeRequest) => post<CodeView>("codes", request);
export const cancelCode = () => post<object>("codes/cancel", {});

/** This browser is paired no more. */
export async function leave(): Promise<void> {
  await post("leave", {});
  location.assign("/pair/");
}

/** Whether the server answers this browser, but does not know it any more. */
export async function isSentAway(): Promise<boolean> {
  try {
    return (await fetch("/access/me")).status === 401;
  } catch {
    return false;
  }
}
