/** Passkeys: a button that makes one, a button that signs in with one; hidden where the browser has none. */

for (const button of document.querySelectorAll("button[data-passkey]")) {
  if (!(button instanceof HTMLButtonElement) || !window.PublicKeyCredential) continue
  button.closest("[hidden]")?.removeAttribute("hidden")
  button.addEventListener("click", () => act(button))
}

/** @param {HTMLButtonElement} button */
async function act(button) {
  const said = /** @type {HTMLElement} */ (document.querySelector("#passkey-said"))
  button.disabled = true
  said.textContent = ""
  try {
    const isMaking = button.dataset.passkey === "make"
    const after = isMaking ? await made() : await entered(button.dataset.after ?? "/")
    location.assign(after)
  } catch (error) {
    said.textContent = inWords(error)
  } finally {
    button.disabled = false
  }
}

/** @returns {Promise<string>} where to go on */
async function made() {
  const options = await send("/account/passkeys/offer", null)
  const publicKey = PublicKeyCredential.parseCreationOptionsFromJSON(options)
  const credential = await navigator.credentials.create({ publicKey })
  const name = /** @type {HTMLInputElement} */ (document.querySelector("#passkey-name")).value
  return (await send("/account/passkeys", { credential, name })).after
}

/**
 * @param {string} after
 * @returns {Promise<string>} where to go on
 */
async function entered(after) {
  const options = await send("/sign-in/passkey/offer", null)
  const publicKey = PublicKeyCredential.parseRequestOptionsFromJSON(options)
  const credential = await navigator.credentials.get({ publicKey })
  return (await send("/sign-in/passkey", { credential, after })).after
}

/**
 * @param {string} path
 * @param {unknown} body
 * @returns {Promise<any>}
 */
async function send(path, body) {
  const answer = await fetch(path, {
    method: "POST",
    headers: { "content-type": "application/json", "hx-request": "true" },
    body: JSON.stringify(body),
  })
  if (!answer.ok) throw new Error(await answer.text())
  return answer.json()
}

/** @param {unknown} error */
function inWords(error) {
  if (error instanceof DOMException)
    return "Nothing was done: the passkey was not given, or took too long."
  return error instanceof Error ? error.message : String(error)
}
