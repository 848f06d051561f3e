import { idleMs } from "./paired-sessions.js";

const cookieName = "pinwalk_pass";

/** The secret that a browser shows, from its cookies; undefined where there is none that could be one. */
export function passOf(cookies: string | undefined): string | undefined {
  const found = (cookies ?? "")
    .split(";")
    .map((part) => part.trim())
    .find((part) => part.startsWith(`${cookieName}=`));
  const pass = found?.slice(cookieName.length + 1);
  return pass !== undefined && /^[\w-]{43}$/.test(pass) ? pass : undefined;
}

/** Out of reach of scripts, and never sent along by a page of another origin. */
export function passCookie(secret: string): string {
  return `${cookieName}=${secret}; Path=/; HttpOnly; SameSite=Strict; Max-Age=${idleMs / 1000}`;
}

export const noPassCookie = `${cookieName}=; Path=/; HttpOnly; SameSite=Strict; Max-Age=0`;
