import type { Heard } from "../../procedures/listening/listening-events.js";
import { signalWords, wireFunctionWords } from "../../procedures/listening/signal-words.js";
import type { HeardView } from "./listening-contract.js";

/** What was heard on a wire, in words. */
export function heardView({ reading, functions, lostWindows }: Heard): HeardView {
  const [only, ...others] = functions.candidates;
  return {
    words: signalWords(reading).map(unbroken),
    functionWords: wireFunctionWords(functions),
    functions: functions.from === "said" && only !== undefined && others.length === 0 ? only.functions : [],
    caution: reading.layers.some(({ pulses }) => pulses !== undefined),
    silent: reading.layers.length === 0,
    lostWindows,
  };
}

/** No figure parts from its unit at the end of a line. */
function unbroken(sentence: string): string {
  return sentence.replaceAll(/(\d) (V|Hz|%|ms)/g, "$1\u00a0$2");
}
