// Keeps the screen from going dark while the bench view is open, where the browser can.

interface Lock {
  release(): Promise<void>;
}

// Gives the way to let it sleep again. A lock is lost whenever the page is hidden: it is asked for
// anew when the page is seen again.
export function stayAwake(): () => void {
  const wake = (navigator as { wakeLock?: { request(type: "screen"): Promise<Lock> } }).wakeLock;
  if (!wake) return () => undefined;
  let lock: Lock | null = null;
  let over = false;
  const ask = (): void => {
    if (over || document.visibilityState !== "visible") return;
    wake.request("screen").then(
      (held) => {
        if (over) void held.release();
        else lock = held;
      },
      () => undefined, // refused: low battery, or not allowed here
    );
  };
  ask();
  document.addEventListener("visibilitychange", ask);
  return () => {
    over = true;
    document.removeEventListener("visibilitychange", ask);
    void lock?.release();
  };
}
