/** A page whose time has not come: why, and where to go first. */
export function NotYet({ title, hindrance }: { title: string; hindrance: string }) {
  const toWalk = /walk/i.test(hindrance);
  return (
    <div class="empty">
      <p>
        <strong>{hindrance}</strong>
      </p>
      <a class="button" href={toWalk ? "#walk" : "#set-up"}>
        {toWalk ? "Go to Walk" : "Go to Set up"}
        <span class="said-only"> before {title}</span>
      </a>
    </div>
  );
}
