/** The core in a worker: the same Python as at the desk. Capturing never waits for it, and goes on without it. */

class Core extends EventTarget {
  /** @type {"starting" | "ready" | "failed"} */
  state = "starting"
  /** @type {Worker | undefined} */
  #worker
  /** @type {Map<number, { resolve: (value: any) => void, reject: (problem: Error) => void }>} */
  #asked = new Map()
  #number = 0

  start() {
    this.#worker = new Worker("/yard/core_worker.js", { type: "module" })
    this.#worker.onmessage = ({ data }) => this.#heard(data)
    this.#worker.onerror = () => this.#became("failed")
  }

  /**
   * What a function of the bridge answers; an error says why in words.
   *
   * @param {string} name @param {Record<string, any>} [given] @returns {Promise<any>}
   */
  ask(name, given = {}) {
    return new Promise((resolve, reject) => {
      if (this.state === "failed") reject(new Error("The calculations could not be started here."))
      const number = ++this.#number
      this.#asked.set(number, { resolve, reject })
      this.#worker?.postMessage({ number, name, given })
    })
  }

  /** @param {{ state?: "ready" | "failed", number?: number, value?: any, problem?: string }} said */
  #heard(said) {
    if (said.state) this.#became(said.state)
    const waiting = this.#asked.get(said.number ?? 0)
    if (!waiting) return
    this.#asked.delete(said.number ?? 0)
    if (said.problem === undefined) waiting.resolve(said.value)
    else waiting.reject(new Error(said.problem))
  }

  /** @param {"ready" | "failed"} state */
  #became(state) {
    this.state = state
    if (state === "failed") {
      for (const { reject } of this.#asked.values()) {
        reject(new Error("The calculations could not be started here."))
      }
      this.#asked.clear()
    }
    this.dispatchEvent(new Event("state"))
  }
}

export const core = new Core()
