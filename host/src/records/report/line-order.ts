/** Scripts that run from right to left and that the certificate's font has. */
const rightToLeft = /[\p{Script=Hebrew}\p{Script=Arabic}]/u;
const leftToRight = /[\p{Script=Latin}\p{Script=Greek}\p{Script=Cyrillic}\p{Script=Armenian}\p{Script=Georgian}]/u;

/**
 * One line as the pieces that are set one after the other from left to right with a blank between. The page builder
 * turns the letters within a word but knows nothing of the words' order. Simpler than the Unicode bidirectional algorithm: a
 * word has the direction of its letters, one without letters that of the word before it. A line without such scripts is one piece.
 */
export function printedWords(line: string): readonly string[] {
  if (!rightToLeft.test(line)) return [line];
  const words = line.split(" ");
  const isRight = words.map((word) => (rightToLeft.test(word) ? true : leftToRight.test(word) ? false : undefined));
  const base = isRight.find((direction) => direction !== undefined) ?? false;
  const groups: { right: boolean; words: string[] }[] = [];
  words.forEach((word, index) => {
    const last = groups.at(-1);
    const right = isRight[index] ?? last?.right ?? base;
    if (last && last.right === right) last.words.push(word);
    else groups.push({ right, words: [word] });
  });
  const printed = groups.map((group) => (group.right ? [...group.words].reverse() : group.words));
  return (base ? printed.reverse() : printed).flat();
}
