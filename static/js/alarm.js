/** What makes a clock heard: sound, vibration, a notification, a screen that stays awake. Each may be missing. */

const PAUSE = 2_500 // ms from one burst of sound to the next

let audio = null
let ringing = 0
let lock = null
let wanted = false

/** Phones let a page sound only after a touch, so the first one opens the way. */
export function unlock() {
  if (audio?.state === "running") return
  const Context = globalThis.AudioContext ?? globalThis.webkitAudioContext
  if (!Context) return
  audio ??= new Context()
  if (navigator.audioSession) navigator.audioSession.type = "playback" // heard with the ring switch off
  audio.resume().catch(() => {})
}

/** Ring until quiet() is called. */
export function ring() {
  if (ringing) return
  burst()
  ringing = setInterval(burst, PAUSE)
}

export function quiet() {
  clearInterval(ringing)
  ringing = 0
  if (navigator.userActivation?.hasBeenActive) navigator.vibrate?.(0)
}

function burst() {
  if (navigator.userActivation?.hasBeenActive) navigator.vibrate?.([400, 150, 400, 150, 400])
  if (audio?.state !== "running") return
  for (let i = 0; i < 3; i++) beep(audio.currentTime + i * 0.55)
}

function beep(at) {
  const tone = audio.createOscillator()
  const loudness = audio.createGain()
  tone.type = "square" // its overtones carry over an engine better than a pure tone
  tone.frequency.value = 880
  loudness.gain.setValueAtTime(0.4, at)
  loudness.gain.setValueAtTime(0, at + 0.4)
  tone.connect(loudness).connect(audio.destination)
  tone.start(at)
  tone.stop(at + 0.45)
}

/** Ask for notifications; only ever from a control that says so. @returns {Promise<string>} what to tell */
export async function askToNotify() {
  if (!("Notification" in globalThis)) return "This browser has no notifications."
  const answer = await Notification.requestPermission()
  return answer === "granted" ? "A notification will show while this page lives." : "The browser does not allow it."
}

/** Show a notification where allowed. The same tag twice is one notification. */
export async function notify(title, tag, url) {
  if (globalThis.Notification?.permission !== "granted") return
  const worker = await navigator.serviceWorker?.getRegistration()
  await worker?.showNotification(title, { tag, requireInteraction: true, data: { url } })
}

/** Keep the screen awake, or let it sleep. A browser drops it when the page is hidden: it is asked for again.
 * @returns {Promise<boolean|null>} null: this browser cannot */
export async function stayAwake(want) {
  wanted = want
  if (!navigator.wakeLock) return null
  if (!want) {
    await lock?.release()
    lock = null
    return false
  }
  try {
    lock = await navigator.wakeLock.request("screen")
    return true
  } catch {
    return null
  }
}

export const isAwake = () => wanted

export function setUp() {
  // The end of a touch and a key going down count as a person's own doing; the beginning of a touch does not.
  for (const own of ["pointerup", "keydown"]) document.addEventListener(own, unlock, { capture: true, passive: true })
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState !== "visible") return
    if (wanted) stayAwake(true)
    if (audio && audio.state !== "running") audio.resume().catch(() => {})
  })
}
