import type { PairRequest } from "@pinwalk/host/server/access/access-contract.js";
import "./pairing-page.css";

/** The page of a browser that is not paired: the one thing on it is the code. Plain DOM, so that strangers get no more. */
function element<T extends HTMLElement>(id: string, kind: new () => T): T {
  const found = document.getElementById(id);
  if (!(found instanceof kind)) throw new Error(`the page has no ${id}`);
  return found;
}

const form = element("pair", HTMLFormElement);
const field = element("code", HTMLInputElement);
const said = element("said", HTMLParagraphElement);
const noAnswer = "The computer at the bench does not answer. Is this phone still on its network?";

/** The code from the address of a QR code, taken out of the address and of the history before anything else. */
function codeFromAddress(): string {
  const code = location.hash.slice(1);
  if (location.hash !== "") history.replaceState(null, "", location.pathname);
  return /^\d{8}$/.test(code) ? code : "";
}

function say(text: string, wrong: boolean): void {
  said.textContent = text;
  said.classList.toggle("wrong", wrong);
  field.setAttribute("aria-invalid", String(wrong));
}

async function pair(code: string): Promise<void> {
  say("Pairing …", false);
  try {
    const request: PairRequest = { code };
    const response = await fetch("/access/pair", {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify(request),
    });
    if (response.ok) {
      location.replace("/");
      return;
    }
    const { message } = (await response.json()) as { message: string };
    say(message, true);
  } catch {
    say(noAnswer, true);
  }
  field.select();
}

form.addEventListener("submit", (event) => {
  event.preventDefault();
  const code = field.value.replaceAll(/\D/g, "");
  if (code.length === 8) void pair(code);
  else say("A code has eight digits.", true);
});

const scanned = codeFromAddress();
if (scanned === "") field.focus();
else void pair(scanned);
