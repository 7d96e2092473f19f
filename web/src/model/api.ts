// Speaking with the service: JSON in and out, failures as words, revisions as ETags.
import type { Failure, JobState, Rec } from "./answers";

export class Refused extends Error {
  constructor(
    readonly status: number,
    readonly failures: Failure[],
    readonly present: Rec | null = null,
  ) {
    super(failures[0]?.message ?? `status ${status}`);
  }
  get first(): Failure {
    return this.failures[0] ?? { code: "page.answer", where: "", message: this.message, remedy: "" };
  }
  get conflict(): boolean {
    return this.status === 412;
  }
}
// The service could not be reached at all.
export class Unreachable extends Error {}

export interface Ask {
  method?: "GET" | "POST" | "PUT" | "DELETE";
  body?: unknown; // sent as JSON unless it is a Blob or text with a type of its own
  type?: string;
  headers?: Record<string, string>;
  signal?: AbortSignal | undefined;
  outlive?: boolean; // goes on when the page is left meanwhile
}
export interface Answer<T> {
  value: T;
  etag: string;
  kept: boolean; // from what was kept on this computer, the service being away
  status: number;
}
// What a browser lets outlive its page is 64 KiB; a character is at most three bytes of it.
const outliveMost = 20_000;
export type Fetch = (address: string, how: RequestInit) => Promise<Response>;

interface FailureBody {
  error?: Failure;
  errors?: Failure[];
  present?: Rec;
}

function failuresOf(status: number, body: FailureBody | null): Failure[] {
  if (body?.errors?.length) return body.errors;
  if (body?.error) return [body.error];
  return [{ code: "page.answer", where: "", message: `HTTP ${status}`, remedy: "" }];
}

export class Api {
  // Who is at this station, for the history.
  initials = "";

  constructor(
    private readonly base: string,
    private readonly fetcher: Fetch,
    private readonly noticed: (reached: boolean) => void = () => undefined,
  ) {}

  async raw(path: string, ask: Ask = {}): Promise<Response> {
    const headers: Record<string, string> = { ...ask.headers };
    if (this.initials) headers["X-Bight-By"] = encodeURIComponent(this.initials);
    let body: BodyInit | null = null;
    if (ask.body !== undefined) {
      const own = ask.type !== undefined;
      headers["Content-Type"] = ask.type ?? "application/json";
      body = own ? (ask.body as BodyInit) : JSON.stringify(ask.body);
    }
    let answer: Response;
    try {
      answer = await this.fetcher(`${this.base}${path}`, {
        method: ask.method ?? (body === null ? "GET" : "POST"),
        headers,
        body,
        credentials: "same-origin",
        ...(ask.signal ? { signal: ask.signal } : {}),
        ...(ask.outlive && typeof body === "string" && body.length < outliveMost ? { keepalive: true } : {}),
      });
    } catch (error) {
      if (error instanceof DOMException && error.name === "AbortError") throw error;
      this.noticed(false);
      throw new Unreachable();
    }
    this.noticed(answer.headers.get("X-Bight-Kept") === null);
    if (answer.ok) return answer;
    const text = await answer.text();
    let said: FailureBody | null = null;
    try {
      said = JSON.parse(text) as FailureBody;
    } catch {
      said = null;
    }
    throw new Refused(answer.status, failuresOf(answer.status, said), said?.present ?? null);
  }

  async ask<T>(path: string, ask: Ask = {}): Promise<Answer<T>> {
    const answer = await this.raw(path, ask);
    const text = await answer.text();
    return {
      value: (text === "" ? null : JSON.parse(text)) as T,
      etag: answer.headers.get("ETag") ?? "",
      kept: answer.headers.get("X-Bight-Kept") !== null,
      status: answer.status,
    };
  }

  async get<T>(path: string, signal?: AbortSignal): Promise<T> {
    return (await this.ask<T>(path, { signal })).value;
  }
  async post<T>(path: string, body: unknown, signal?: AbortSignal): Promise<T> {
    return (await this.ask<T>(path, { body, signal })).value;
  }

  // The end of a long piece of work, looked at until then. `wanted` hears how far it is; once it says
  // no, the work is called off and there is no result.
  async finish<T>(job: string, wanted: (state: JobState | null) => boolean, everyMs = 400): Promise<T | null> {
    while (wanted(null)) {
      const state = await this.get<JobState>(`/jobs/${job}`);
      if (state.state === "done") return state.result as T;
      if (state.state === "failed") throw new Refused(422, state.error ? [state.error] : []);
      if (state.state === "cancelled") return null;
      if (!wanted(state)) break;
      await new Promise((resolve) => setTimeout(resolve, everyMs));
    }
    await this.raw(`/jobs/${job}`, { method: "DELETE" }).catch(() => undefined); // it may just have ended
    return null;
  }

  // Writes a record made from `revision`; 0: it must not exist yet.
  async put<Doc>(kind: string, id: string, revision: number, write: Write): Promise<Rec<Doc>> {
    const guard: Record<string, string> =
      revision === 0 ? { "If-None-Match": "*" } : { "If-Match": `"r${revision}"` };
    const answer = await this.ask<Rec<Doc>>(`/records/${kind}/${id}`, {
      method: "PUT",
      body: write.body,
      headers: { ...guard, "Idempotency-Key": write.key },
      outlive: true,
    });
    return answer.value;
  }

  async act<Doc>(
    kind: string,
    id: string,
    revision: number,
    deed: "undo" | "withdraw" | "restore",
    body: unknown = {},
  ): Promise<Rec<Doc>> {
    const answer = await this.ask<Rec<Doc>>(`/records/${kind}/${id}/${deed}`, {
      method: "POST",
      body,
      headers: { "If-Match": `"r${revision}"`, "Idempotency-Key": freshKey() },
    });
    return answer.value;
  }
}

export interface Write {
  body: unknown;
  key: string; // names this one wish: sending it again writes nothing twice
}

export function freshKey(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(12));
  return [...bytes].map((b) => b.toString(36).padStart(2, "0")).join("");
}
