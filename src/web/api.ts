import type { ErrorAnswer } from '../works/api.ts'

/** The server said no, in words that a person can act on. */
export class Refused extends Error {
  readonly answer: ErrorAnswer
  /** Of HTTP. */
  readonly status: number
  constructor(answer: ErrorAnswer, status = 400) {
    super(answer.message)
    this.answer = answer
    this.status = status
  }
}

/** No answer at all: the server is gone, or the network is. */
export class ServerGone extends Error {}

/** Asks the server for a paper; throws as `ask` does. */
export async function askPdf(path: string, request: RequestInit): Promise<Blob> {
  let response: Response
  try {
    response = await fetch(path, request)
    if (response.ok) return await response.blob()
  } catch {
    throw new ServerGone('The server does not answer.')
  }
  return refuse(response, await answerOf(response).catch(() => null))
}

async function answerOf(response: Response): Promise<unknown> {
  const text = await response.text()
  if (text === '') return null
  try {
    return JSON.parse(text)
  } catch {
    return null
  }
}

/** Asks the server; throws Refused or ServerGone and nothing else. */
export async function ask<T>(path: string, request?: RequestInit): Promise<T> {
  let response: Response
  let answer: unknown
  try {
    response = await fetch(path, request)
    answer = await answerOf(response)
  } catch {
    throw new ServerGone('The server does not answer.')
  }
  return response.ok ? (answer as T) : refuse(response, answer)
}

const signInNeeded = new EventTarget()

/** Calls back when the server says that nobody is signed in here (any more); answers how to stop that. */
export function onSignInNeeded(heard: () => void): () => void {
  signInNeeded.addEventListener('needed', heard)
  return () => signInNeeded.removeEventListener('needed', heard)
}

function refuse(response: Response, answer: unknown): never {
  if (isErrorAnswer(answer) && answer.code === 'sign-in-needed') {
    signInNeeded.dispatchEvent(new Event('needed'))
  }
  if (isErrorAnswer(answer)) throw new Refused(answer, response.status)
  // a proxy in front of a stopped server answers in its own way
  if (response.status >= 502) throw new ServerGone('The server does not answer.')
  throw new Refused({
    code: 'unknown',
    message: `The server answered ${response.status} without saying why.`,
    todo: 'Try again; if it happens again, look at what the server printed.',
  })
}

function isErrorAnswer(answer: unknown): answer is ErrorAnswer {
  return typeof answer === 'object' && answer !== null && 'code' in answer && 'message' in answer
}

export function postJson<T>(path: string, body: unknown, signal?: AbortSignal): Promise<T> {
  return ask<T>(path, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify(body),
    ...(signal ? { signal } : {}),
  })
}

export function postFiles<T>(
  path: string,
  files: { name: string; file: Blob }[],
  fields: Record<string, string> = {},
): Promise<T> {
  const form = new FormData()
  // fields first: the server reads the parts in their order
  for (const [name, value] of Object.entries(fields)) form.append(name, value)
  for (const { name, file } of files) form.append('files', file, name)
  return ask<T>(path, { method: 'POST', body: form })
}
