const escapes: Readonly<Record<string, string>> = {
  "&": "&amp;",
  "<": "&lt;",
  ">": "&gt;",
  '"': "&quot;",
  "'": "&#39;",
};

/**
 * Text for HTML and SVG, in content and in quoted attributes: markup made harmless, and what cannot be seen or turns the
 * direction of the text around it left out.
 */
export function markupText(text: string): string {
  return text
    .replace(/[\p{Control}\p{Surrogate}\u202a-\u202e\u2066-\u2069\ufffe\uffff]/gu, (sign) =>
      sign === "\n" || sign === "\t" ? sign : "",
    )
    .replace(/[&<>"']/g, (sign) => escapes[sign] ?? sign);
}
