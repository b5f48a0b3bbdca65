/** Asks again until the answer is as wanted. */
export async function until<T>(look: () => Promise<T>, wanted: (answer: T) => boolean): Promise<T> {
  for (;;) {
    const answer = await look()
    if (wanted(answer)) return answer
    await new Promise((resolve) => setTimeout(resolve, 50))
  }
}

/** Looks again until there is something. */
export async function untilFound<T>(look: () => Promise<T | undefined> | T | undefined): Promise<T> {
  return (await until(
    async () => look(),
    (found) => found !== undefined,
  )) as T
}
