"""What the followed job costs beside a hand-written page of the same text: `python -m tests.bench.phone`.

The job page of the largest pack that ships and a bare page that holds the same words come from the same
server, in turns, each into an empty browser: a phone's size, the processor slowed to a quarter, the network
held to slow 4G as developer tools apply it (562.5 ms a request, 1440 kbit/s). Medians: other work disturbs.
"""

from __future__ import annotations

import os
import re
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from statistics import median, quantiles
from typing import Any

import brotli
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

from tests.bench._bare import largest
from webapp.pack.compiled import CompiledPack

RUNS = 7
JOBS = 2  # followed from end to end, for the taps
SLOW_CPU = 4
SLOW_4G = {
    "offline": False,
    "latency": 562.5,
    "downloadThroughput": 1440 * 125,
    "uploadThroughput": 675 * 125,
}
FLAGS = ["--disable-gpu", "--no-first-run", "--disable-sync", "--disable-background-networking"]


class Bench:
    """A browser, a server, and what is measured with them."""

    def __init__(self, browser: Browser, device: dict[str, Any], url: str, pack: CompiledPack) -> None:
        self.browser, self.device, self.url, self.pack = browser, device, url, pack
        self.job = f"{url}/jobs/{pack.hash}"

    def slowed(self, context: BrowserContext, page: Page, network: dict[str, Any] | None) -> None:
        devtools = context.new_cdp_session(page)
        devtools.send("Emulation.setCPUThrottlingRate", {"rate": SLOW_CPU})
        if network:
            devtools.send("Network.enable")
            devtools.send("Network.emulateNetworkConditions", network)

    def first_load(self, url: str, network: dict[str, Any] | None = SLOW_4G) -> float:
        """Return the first contentful paint, ms, in a browser that has never seen the page."""
        context = self.browser.new_context(**self.device, service_workers="block")
        page = context.new_page()
        self.slowed(context, page, network)
        page.goto(url, wait_until="load")
        painted = paint(page)
        context.close()
        return painted

    def offline_start(self) -> float:
        """Return the first contentful paint, ms, with the network gone and the worker not running yet."""
        context = self.browser.new_context(**self.device)
        page = context.new_page()
        page.goto(self.job)
        page.wait_for_selector("html[data-offline=ready]", timeout=60_000)
        context.set_offline(True)
        devtools = context.new_cdp_session(page)
        devtools.send("ServiceWorker.enable")
        devtools.send("ServiceWorker.stopAllWorkers")
        page.close()
        page = context.new_page()
        self.slowed(context, page, None)
        page.goto(self.job, wait_until="load")
        painted = paint(page)
        context.close()
        return painted

    def taps(self) -> list[float]:
        """Follow the whole job; return, ms, each tap on “Done – next” until the next step was painted."""
        context = self.browser.new_context(**self.device)
        context.add_init_script(PROBE)
        page = context.new_page()
        page.goto(self.job)
        page.wait_for_selector("html[data-offline=ready]", timeout=60_000)
        for question in page.locator(".question:visible").all():
            question.locator("label").first.click()
        page.click("#on")
        page.wait_for_timeout(500)
        self.slowed(context, page, None)
        while not (self.clear_the_way(page) and "#overview" in page.url):
            tap(page)
        found: list[float] = page.evaluate("globalThis.painted")
        context.close()
        return found

    def bare_taps(self) -> list[float]:
        """Return, ms, taps on the bare page, each of which shows one paragraph in place of another."""
        context = self.browser.new_context(**self.device)
        context.add_init_script(PROBE)
        page = context.new_page()
        page.goto(f"{self.url}/bare")
        page.evaluate(FLOOR)
        self.slowed(context, page, None)
        for _ in range(30):
            tap(page)
        found: list[float] = page.evaluate("globalThis.painted")
        context.close()
        return found

    def clear_the_way(self, page: Page) -> bool:
        """Answer whatever stops the next tick from going straight on."""
        while True:
            front = page.evaluate(
                "[...document.querySelectorAll('dialog[open]')].map(({id}) => id).at(-1) ?? ''"
            )
            cautions = page.locator("[aria-current] [data-do=caution]:visible")
            looks = page.locator(f"{OPEN_READING} [data-do=look][value=in]")
            forms = page.locator(f"{OPEN_READING} .value")
            if front == "stop" and page.locator("#stop form").count():
                limits = page.locator("#stop form").evaluate("form => JSON.parse(form.dataset.range)")
                page.locator("#stop .units label", has_text=limits["unit"]).click()
                page.fill(
                    "#stop input[name=value]",
                    str(limits["low"] if limits["high"] is None else limits["high"]),
                )
                page.click("#stop form button")
            elif front:
                page.click(f"#{front} {ANSWERS[front]}")
            elif looks.count():
                looks.first.click()
            elif forms.count():
                limits = forms.first.evaluate("form => JSON.parse(form.dataset.range ?? 'null')")
                if limits and forms.first.locator(".units").count():
                    forms.first.locator(f'input[value="{limits["unit"]}"]').check(force=True)
                forms.first.locator("input[name=value]").fill(within(limits))
                forms.first.locator("button").click()
            elif cautions.count():
                cautions.first.click()
            else:
                return True
            page.wait_for_timeout(450)


FLOOR = """() => {
  const texts = [...document.querySelectorAll("p")]
  const button = document.body.insertBefore(document.createElement("button"), document.body.firstChild)
  Object.assign(button, { id: "on", textContent: "Next" })
  texts.forEach((text, index) => { text.className = "screen step"; text.hidden = index > 0 })
  texts[0].setAttribute("aria-current", "step")
  button.addEventListener("click", () => {
    const shown = document.querySelector("[aria-current]")
    const next = shown.nextElementSibling
    shown.hidden = true
    shown.removeAttribute("aria-current")
    next.hidden = false
    next.setAttribute("aria-current", "step")
  })
}"""
OPEN_READING = "[aria-current] .reading:has(.taken[hidden])"
ANSWERS = {
    "stop": "[data-do=state]",
    "ahead": "[data-do=do-anyway]",
    "bay": "[data-do=measure-later]",
    "over": "[data-do=heard]",
}
# From the finger's own time stamp to the end of the frame that shows another step. A tap that brings up a
# question instead is not counted.
PROBE = """(() => {
  globalThis.painted = []
  addEventListener("click", (event) => {
    if (!globalThis.armed || !event.target.closest("#on")) return
    globalThis.armed = false
    const before = document.querySelector(".screen[aria-current]")
    requestAnimationFrame(() => {
      const { port1, port2 } = new MessageChannel()
      port1.onmessage = () => {
        const after = document.querySelector(".step[aria-current]")
        if (after && after !== before) painted.push(performance.now() - event.timeStamp)
      }
      port2.postMessage(null)
    })
  }, { capture: true })
})()"""


def tap(page: Page) -> None:
    """Touch the one big control as a finger does: on a page that was left alone, and is left alone after."""
    box = page.locator("#on").bounding_box()
    if box is None:
        raise RuntimeError("there is nothing to tap")
    page.evaluate("globalThis.armed = true")
    page.wait_for_timeout(450)
    page.touchscreen.tap(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.wait_for_timeout(450)


def within(limits: dict[str, Any] | None) -> str:
    """Return a number inside a range."""
    ends = [limits[end] for end in ("low", "high") if limits[end] is not None] if limits else [1]
    return f"{sum(ends) / len(ends):g}"


def paint(page: Page) -> float:
    """Return the first contentful paint of a loaded page, ms."""
    asked = "performance.getEntriesByName('first-contentful-paint')[0]?.startTime ?? 0"
    for _ in range(100):
        if found := page.evaluate(asked):
            return float(found)
        page.wait_for_timeout(50)
    raise RuntimeError("the page was never painted")


def sizes(url: str, pack: CompiledPack) -> tuple[int, int]:
    """Return the compressed bytes of the job page and of all its scripts."""

    def compressed(address: str) -> tuple[int, str]:
        request = urllib.request.Request(url + address, headers={"Accept-Encoding": "br"})
        with urllib.request.urlopen(request) as answer:
            data = answer.read()
        return len(data), brotli.decompress(data).decode()

    size, page = compressed(f"/jobs/{pack.hash}")
    scripts = set(re.findall(r'(?:src|href)="(/static/[^"]+\.js)"', page))
    return size, sum(compressed(script)[0] for script in scripts)


def main() -> None:
    """Print what was measured and what was promised."""
    pack = largest()
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    server = subprocess.Popen([sys.executable, "-m", "tests.bench._bare", str(port)])
    url = f"http://127.0.0.1:{port}"
    try:
        wait_for(url)
        page, scripts = sizes(url, pack)
        print(f"{pack.slug}: {len(pack.steps)} steps, slowed {SLOW_CPU} times, slow 4G")
        print(f"scripts {scripts / 1000:.1f} KB compressed (promise: under 60)")
        print(
            f"page and scripts, no pictures, {(page + scripts) / 1000:.1f} KB compressed (promise: under 120)"
        )
        with sync_playwright() as playwright:
            device = dict(playwright.devices["Pixel 7"])
            device.pop("default_browser_type")
            flags = FLAGS + (["--no-sandbox"] if os.geteuid() == 0 else [])
            browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=flags)
            measure(Bench(browser, device, url, pack))
            browser.close()
    finally:
        server.send_signal(signal.SIGINT)
        server.wait(10)


def measure(bench: Bench) -> None:
    """Measure in turns, and print."""
    bench.first_load(f"{bench.url}/bare")  # warms the browser itself; not counted
    bare, job, near, offline = [], [], [], []
    for run in range(RUNS):
        print(f"run {run + 1} of {RUNS}", end="\r", file=sys.stderr, flush=True)
        bare.append(bench.first_load(f"{bench.url}/bare"))
        job.append(bench.first_load(bench.job))
        near.append(bench.first_load(bench.job, network=None))
        offline.append(bench.offline_start())
    floor = median(bare)
    print(
        f"first contentful paint {median(job):.0f} ms, bare page {floor:.0f} ms, "
        f"ratio {median(job) / floor:.2f} (promise: at most 1.25)"
    )
    print(
        f"offline start {median(offline):.0f} ms, online {median(job):.0f} ms, "
        f"ratio {median(offline) / median(job):.2f} (promise: at most 1); "
        f"beside a server on the same machine, {median(near):.0f} ms, {median(offline) / median(near):.2f}"
    )
    floor_taps, taps = bench.bare_taps(), []
    for _ in range(JOBS):
        taps += bench.taps()
    floor_taps += bench.bare_taps()
    print(
        f"tap to painted next step: median {median(taps):.0f} ms, 95th percentile {last(taps):.0f} ms over "
        f"{len(taps)} taps (promise: under 50); one paragraph of the bare page for another: median "
        f"{median(floor_taps):.0f} ms, 95th percentile {last(floor_taps):.0f} ms"
    )


def last(times: list[float]) -> float:
    """Return the 95th percentile."""
    return quantiles(times, n=20)[-1]


def wait_for(url: str) -> None:
    """Wait until the server answers."""
    last = time.monotonic() + 30
    while True:
        try:
            urllib.request.urlopen(f"{url}/bare", timeout=5).close()
            return
        except OSError:
            if time.monotonic() > last:
                raise
            time.sleep(0.1)


if __name__ == "__main__":
    main()
