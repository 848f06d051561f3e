import { shownDocument, shownLine, shownText } from "@pinwalk/host/cli/records/shown-text.js";
import { describe, expect, it } from "vitest";

describe("Text of a record on a terminal", () => {
  it("cannot move the cursor, colour the screen, ring, or turn the line around", () => {
    expect(shownText("a\u001b[2Jb\u0007c\u202ed\u0000e\u009bf")).toBe("a\uFFFD[2Jb\uFFFDc\uFFFDd\uFFFDe\uFFFDf");
    expect(shownText("two\nlines")).toBe("two\nlines");
    expect(shownLine("two\nlines")).toBe("two lines");
    expect(shownLine(null)).toBe("");
  });

  it("is made harmless wherever it stands in a document, and nothing else is changed", () => {
    const document = { name: "x\u001b", list: [{ "k\u001b": "\u001b" }, 1, null, true], number: 1.5 };
    expect(shownDocument(document)).toEqual({
      name: "x\uFFFD",
      list: [{ "k\uFFFD": "\uFFFD" }, 1, null, true],
      number: 1.5,
    });
  });
});
