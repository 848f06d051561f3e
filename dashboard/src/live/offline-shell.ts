/**
 * Lets the page open while the server does not answer. Browsers allow that at the computer itself alone, as elsewhere it takes
 * encryption; a phone on the network keeps what it has loaded and says that it is not connected.
 */
export function keepOfflineShell(): void {
  if (!("serviceWorker" in navigator) || !isSecureContext) return;
  // After the page is there: it must not wait for this.
  addEventListener(
    "load",
    () => {
      void navigator.serviceWorker.register("/shell-worker.js").catch(() => undefined);
    },
    { once: true },
  );
}
