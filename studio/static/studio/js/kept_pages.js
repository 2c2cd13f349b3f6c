// The tracking page opens while the network or the server is away: its worker keeps it on the device.

const WORKER = "/tracking-worker.js";

export async function keepPage() {
  if (!navigator.serviceWorker) return; // plain http
  const seen = navigator.serviceWorker.controller; // the worker saw this page come, and kept it
  try {
    await navigator.serviceWorker.register(WORKER, { scope: "/sessions/", updateViaCache: "none" });
    if (seen) return;
    const { active } = await navigator.serviceWorker.ready;
    active.postMessage({ keep: location.href });
  } catch {
    // The certificate of the address is not trusted, or the server is away: the page works all the same.
  }
}
