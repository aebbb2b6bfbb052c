/** Photos: made small, kept on the phone beside their entry, shown in their step. */
import { el } from "./el.js"
import { photo as stored } from "./log.js"

const LONGEST = 2048 // px; phones turn larger canvases black
const QUALITY = 0.8

/** A picture file as a small JPEG. Decoding it anew also drops where it was taken.
 * @returns {Promise<{bytes: ArrayBuffer, width: number, height: number}>} */
async function shrink(file) {
  const image = await createImageBitmap(file, { imageOrientation: "from-image" }).catch(() => {
    throw new Error("this picture cannot be read")
  })
  const scale = Math.min(1, LONGEST / Math.max(image.width, image.height))
  const canvas = el("canvas")
  canvas.width = Math.round(image.width * scale)
  canvas.height = Math.round(image.height * scale)
  canvas.getContext("2d").drawImage(image, 0, 0, canvas.width, canvas.height)
  image.close()
  const blob = await new Promise((resolve) => canvas.toBlob(resolve, "image/jpeg", QUALITY))
  if (!blob) throw new Error("no picture came out")
  return { bytes: await blob.arrayBuffer(), width: canvas.width, height: canvas.height }
}

async function nameOf(bytes) {
  const digest = await crypto.subtle.digest("SHA-256", bytes)
  return Array.from(new Uint8Array(digest), (byte) => byte.toString(16).padStart(2, "0")).join("")
}

export function setUp(page) {
  document.addEventListener("change", async ({ target }) => {
    const place = target.closest(".photo")
    if (!place || target.type !== "file" || !target.files.length) return
    const problem = place.querySelector(".problem")
    problem.textContent = "Keeping the photo …"
    try {
      if (!crypto.subtle) throw new Error("this address is not https, and the browser then keeps no photos")
      const { bytes, width, height } = await shrink(target.files[0])
      const photo = await nameOf(bytes)
      const step = place.closest(".step").dataset.step
      keep(photo, bytes)
      await page.add([["photo-taken", step, { photo, shows: place.dataset.shows, width, height }]], { photo, bytes })
      problem.textContent = ""
    } catch (error) {
      problem.textContent = `The photo was not kept: ${error.message}. Take it again.`
    }
    target.value = ""
    showIn(place.closest(".step"), page.state)
  })
}

const shown = new Map() // SHA-256 → address of the picture in memory

/** Put the photos of a step in their places. @param {HTMLElement} node a step */
export async function showIn(node, state) {
  for (const place of node.querySelectorAll(".photo")) {
    const own = state.photos.filter(({ step, shows }) => step === node.dataset.step && shows === place.dataset.shows)
    const list = place.querySelector(".thumbs")
    list.hidden = !own.length
    const links = await Promise.all(own.map(async ({ photo, shows, width, height }) => {
      const url = await address(photo)
      const alt = `Photo: ${shows}`
      return el("li", {}, url ? el("img", { src: url, alt, width, height }) : `${alt} (not on this phone)`)
    }))
    list.replaceChildren(...links)
  }
}

async function address(photo) {
  if (!shown.has(photo)) {
    const bytes = await stored(photo).catch(() => null)
    if (!bytes) return null
    keep(photo, bytes)
  }
  return shown.get(photo)
}

const keep = (photo, bytes) => shown.set(photo, URL.createObjectURL(new Blob([bytes], { type: "image/jpeg" })))
