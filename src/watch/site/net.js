// Talking to the program: answers, refusals, events.

/** An answer that is not the thing asked for. */
class Refusal extends Error {
  /** @param {number} status @param {any} body @param {number} wait in milliseconds */
  constructor(status, body, wait) {
    super(typeof body?.message === "string" ? body.message : "");
    this.status = status;
    this.wait = wait;
  }
}

/** @param {string} address @param {AbortSignal} [signal] @returns {Promise<Response>} */
async function ask(address, signal) {
  const answer = await fetch(address, { signal, cache: address.includes("?") ? "default" : "no-store" });
  if (answer.ok) return answer;
  const seconds = Number(answer.headers.get("Retry-After"));
  const body = await answer.json().catch(() => null);
  throw new Refusal(answer.status, body, seconds > 0 ? Math.min(seconds, 5) * 1000 : 500);
}

/**
 * Asks again while the program is busy drawing.
 * @template T
 * @param {() => Promise<T>} attempt @param {AbortSignal} signal @param {() => void} [busy]
 * @returns {Promise<T>}
 */
async function untilDrawn(attempt, signal, busy) {
  for (;;) {
    try {
      return await attempt();
    } catch (error) {
      if (!(error instanceof Refusal) || error.status !== 503) throw error;
      busy?.();
      await pause(error.wait, signal);
    }
  }
}

/** @param {number} milliseconds @param {AbortSignal} signal @returns {Promise<void>} */
function pause(milliseconds, signal) {
  return new Promise((resolve, reject) => {
    const stop = () => {
      clearTimeout(timer);
      reject(signal.reason);
    };
    const timer = setTimeout(() => {
      signal.removeEventListener("abort", stop);
      resolve();
    }, milliseconds);
    if (signal.aborted) stop();
    else signal.addEventListener("abort", stop, { once: true });
  });
}

/** @param {unknown} error */
const wasAborted = (error) => error instanceof DOMException && error.name === "AbortError";

/**
 * @param {(look: Look) => void} onLook @param {(gone: boolean) => void} onLost @param {() => void} onOpen
 */
function listen(onLook, onLost, onOpen) {
  const source = new EventSource("./events");
  source.addEventListener("open", onOpen);
  source.addEventListener("message", (event) => {
    try {
      onLook(JSON.parse(event.data));
    } catch {
      // Not for this page: the next event counts.
    }
  });
  source.addEventListener("error", () => onLost(source.readyState === EventSource.CLOSED));
  addEventListener("pagehide", () => source.close());
}
