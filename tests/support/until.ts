/** Asks again until the answer is as wanted. */
export async function until<T>(look: () => Promise<T>, wanted: (answer: T) => boolean): Promise<T> {
  for (;;) {
    const answer = await look()
    if (wanted(answer)) return answer
    await new Promise((resolve) => setTimeout(resolve, 50))
  }
}
