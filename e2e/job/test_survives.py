"""What a job outlives: no network, a dead server, a killed browser, a full phone, a lost database."""

import os
import re
import shutil
import signal
import socket
import subprocess
import time

from playwright.sync_api import expect

from webapp.compile import compile_folder


def test_the_whole_of_a_pack_is_followed_with_the_network_gone(page, server, follower, slugs, told):
    """From *ready offline* on, every step to the end, with a reload in the middle."""
    from webapp import places

    pack = compile_folder(places.CONTENT / slugs[0]).pack
    follow = follower(page, server.url, pack).open()
    page.context.set_offline(True)
    follow.begin()
    first = {name: next(iter(question.answers)) for name, question in pack.front.questions.items()}
    steps = [step.id for step in pack.selected(first)]
    assert len(steps) >= 35
    for number, step in enumerate(steps):
        follow.hear()
        assert follow.step == step
        for form in page.locator("[aria-current] .reading .value").all():
            name = form.locator("xpath=ancestor::section[1]").get_attribute("data-reading")
            place = f'[data-reading="{name}"] .value'
            follow.type_value(place, *follow.good_value(place))
            follow.tap(f"{place} button")
        follow.done_anyway()
        if number == len(steps) // 2:
            page.reload()
            page.wait_for_selector("html[data-live]")
            follow.answer_stops()
    assert follow.step == "overview"
    expect(page.locator("#standing")).to_have_text(f"{len(steps)} of {len(steps)} steps done.")
    assert [entry["step"] for entry in follow.log("step-done")] == steps
    assert [said for said in told if "ERR_INTERNET_DISCONNECTED" not in said] == []


def test_every_picture_of_the_job_shows_offline(page, server, follower, slugs):
    from webapp import places

    pack = compile_folder(places.CONTENT / slugs[0]).pack
    assert pack.pictures
    follower(page, server.url, pack).open()
    page.context.set_offline(True)
    page.reload()
    page.wait_for_selector("html[data-live]")
    broken = page.evaluate(
        """async () => {
          const pictures = [...document.querySelectorAll("main img")]
          for (const one of pictures) one.loading = "eager"
          await Promise.all(pictures.map((one) => one.decode().catch(() => {})))
          return [pictures.length, pictures.filter((one) => !one.naturalWidth).map((one) => one.src)]
        }"""
    )
    assert broken[0] >= len(pack.pictures)
    assert broken[1] == []


def test_ready_offline_is_not_said_before_every_file_was_found_again(follow):
    """A picture, or here a symbol, that cannot be had keeps the word back; when it can, it is said."""
    follow.page.context.route("**/symbols/**", lambda route: route.abort())
    follow.open(ready=False)
    expect(follow.page.locator("#ready")).to_contain_text("Not ready offline")
    assert follow.page.get_attribute("html", "data-offline") == "not-yet"
    follow.page.context.unroute("**/symbols/**")
    follow.page.reload()
    follow.page.wait_for_selector("html[data-offline=ready]")


def test_a_job_that_is_ready_offline_but_not_begun_is_reached_from_the_shelf_with_no_network(follow):
    follow.open()  # straight from its address: shelf and front page have never been shown
    follow.page.context.set_offline(True)
    follow.page.goto(follow.url + "/")
    follow.page.locator(f'a[href="/packs/{follow.pack.slug}"]').first.click()
    follow.page.locator("input[name=stud][value=with]").check(force=True)
    follow.page.locator("button", has_text="Start this job").click()
    follow.page.wait_for_selector("html[data-live]")
    expect(follow.page.locator("input[name=stud][value=with]")).to_be_checked()
    follow.begin(stud="with")
    assert follow.step == "earth-off"


def test_a_browser_without_workers_says_plainly_that_it_keeps_nothing_offline(
    browser, browser_context_args, follower, lamp_server, lamp
):
    context = browser.new_context(**browser_context_args, service_workers="block")
    follow = follower(context.new_page(), lamp_server.url, lamp).open(ready=False)
    expect(follow.page.locator("#ready")).to_have_text(
        "This browser, or an address without https, cannot keep the job for offline use. "
        "Stay in reach of the network, or print the sheet."
    )
    context.close()


def test_a_job_outlives_a_server_that_was_killed(page, server, follower, lamp, lamp_server, tmp_path):
    own = type(server)(lamp_server.packs, tmp_path / "said.txt").start()
    follow = follower(page, own.url, lamp).open().begin().up_to("drain")
    kill_server(own)
    page.reload()
    page.wait_for_selector("html[data-live]")
    follow.answer_stops()
    assert follow.step == "drain"
    follow.done_anyway()
    assert [entry["step"] for entry in follow.log("step-done")] == ["earth-off", "cap-open", "drain"]
    page.goto(own.url + "/")  # the shelf, as it was kept
    expect(page.locator("[data-jobs] a")).to_contain_text("3 of 12 steps done")


def kill_server(server):
    """Kill a server and the process that works for it, as a power cut does."""
    listed = subprocess.run(
        ["ps", "-o", "pid=", "--ppid", str(server.process.pid)], capture_output=True, text=True
    )
    server.stop(signal.SIGKILL)
    for pid in listed.stdout.split():
        os.kill(int(pid), signal.SIGKILL)
    time.sleep(0.2)
    with socket.socket() as call:
        assert call.connect_ex(("127.0.0.1", server.port)) != 0, "the server still answers"


def test_a_job_outlives_a_browser_that_was_killed(playwright, lamp_server, follower, lamp, phone, tmp_path):
    """SIGKILL right after the tick: what showed as done is in the log, with no network."""
    executable, flags = shutil.which("chromium"), ["--disable-gpu", "--no-first-run", "--disable-sync"]
    if os.geteuid() == 0:
        flags.append("--no-sandbox")
    opened = {"executable_path": executable, "args": flags, **phone}
    context = playwright.chromium.launch_persistent_context(tmp_path / "phone", **opened)
    follow = follower(context.pages[0], lamp_server.url, lamp).open().begin().up_to("drain")
    follow.done_anyway()
    address = follow.page.url
    kill_browser(tmp_path / "phone")
    context = playwright.chromium.launch_persistent_context(tmp_path / "phone", **opened)
    context.set_offline(True)
    page = context.pages[0]
    page.goto(address)
    page.wait_for_selector("html[data-live]")
    again = follower(page, lamp_server.url, lamp)
    again.answer_stops()
    assert [entry["step"] for entry in again.log("step-done")] == ["earth-off", "cap-open", "drain"]
    expect(page.locator("#running")).to_contain_text("Last drips")
    context.close()


def kill_browser(profile):
    """Kill the one browser that runs on this profile, and nothing else."""
    listed = subprocess.run(
        ["ps", "-ww", "-eo", "pid=,args="], capture_output=True, text=True, check=True
    ).stdout
    ours = [line.split(maxsplit=1) for line in listed.splitlines() if f"--user-data-dir={profile}" in line]
    (browser,) = [int(pid) for pid, command in ours if "--type=" not in command]
    os.kill(browser, signal.SIGKILL)
    time.sleep(1)
    (profile / "SingletonLock").unlink(missing_ok=True)


def test_a_phone_with_no_room_says_so_at_once_and_loses_nothing(follow):
    follow.open()
    page = follow.page
    devtools = page.context.new_cdp_session(page)
    # Before the first write: Chromium looks at the room that is left only now and then.
    devtools.send("Storage.overrideQuotaForOrigin", {"origin": follow.url, "quotaSize": 1})
    follow.begin()
    expect(page.locator("#unsaved")).to_contain_text("Not saved yet")
    expect(page.locator("#unsaved")).to_contain_text("The phone has no room left.")
    follow.done_anyway()
    assert follow.step == "cap-open"  # the tick is kept in the page, and the job goes on
    assert follow.log() == []
    devtools.send("Storage.overrideQuotaForOrigin", {"origin": follow.url})
    follow.tap("#unsaved button")
    expect(page.locator("#unsaved")).to_be_hidden()
    assert [entry["step"] for entry in follow.log("step-done")] == ["earth-off"]


def test_a_write_that_is_refused_is_said_at_once_in_red_and_tried_again(follow):
    """The store itself throws, in the middle of a job, as it does when the disk is full."""
    page = follow.page
    page.clock.install()
    follow.open(ready=False).begin()
    page.evaluate(
        """() => {
          const { put } = IDBObjectStore.prototype
          globalThis.makeRoom = () => { IDBObjectStore.prototype.put = put }
          IDBObjectStore.prototype.put = () => { throw new DOMException("full", "QuotaExceededError") }
        }"""
    )
    follow.done_anyway()
    assert follow.step == "cap-open"
    said = page.locator("#unsaved")
    expect(said).to_contain_text("The phone has no room left.")
    red, _, blue = (int(part) for part in re.findall(r"\d+", said.evaluate(BACKGROUND))[:3])
    assert red > 2 * blue
    expect(page.locator("#done-of")).to_have_text("1/12")
    assert follow.log("step-done") == []
    page.evaluate("makeRoom()")
    page.clock.fast_forward("00:06")  # nobody presses anything
    expect(said).to_be_hidden()
    assert [entry["step"] for entry in follow.log("step-done")] == ["earth-off"]


BACKGROUND = "place => getComputedStyle(place).backgroundColor"


def clear_store(follow):
    """Clear what scripts have stored, as a person does in the browser's settings."""
    devtools = follow.page.context.new_cdp_session(follow.page)
    cleared = {"origin": follow.url, "storageTypes": "indexeddb"}
    devtools.send("Storage.clearDataForOrigin", cleared)


def test_a_store_that_was_cleared_under_the_page_is_written_again_and_that_is_said(follow):
    follow.open(ready=False).begin().up_to("cap-open")
    before = follow.log()
    clear_store(follow)
    said = follow.page.locator("#unsaved")
    expect(said).to_contain_text("This phone had lost the log of this job.", timeout=15_000)
    follow.done_anyway()
    assert follow.log()[: len(before)] == before
    assert [entry["step"] for entry in follow.log("step-done")] == ["earth-off", "cap-open"]
    expect(said).to_be_visible()  # until somebody has read it
    follow.tap("#unsaved [data-do=understood]")
    expect(said).to_be_hidden()
    follow.page.reload()
    follow.page.wait_for_selector("html[data-live]")
    follow.answer_stops()
    expect(follow.page.locator("#done-of")).to_have_text("2/12")
    follow.page.goto(follow.url + "/")
    expect(follow.page.locator("[data-jobs] a")).to_contain_text("Seal the cover under the hood lamp")


def test_a_job_whose_beginning_is_gone_says_so_and_what_is_left_of_it_goes_on(follow):
    follow.open(ready=False).begin().up_to("drain")
    follow.page.evaluate(
        """id => new Promise((resolve) => {
          const opening = indexedDB.open("droplight")
          opening.onsuccess = () => {
            const removing = opening.result.transaction("entries", "readwrite")
            removing.objectStore("entries").delete(id)
            removing.oncomplete = resolve
          }
        })""",
        follow.log("job-begun")[0]["id"],
    )
    follow.page.reload()
    follow.page.wait_for_selector("html[data-live]")
    expect(follow.page.locator("#cover-title")).to_have_text("This phone no longer holds this job")
    expect(follow.page.locator("#gone")).to_contain_text("Its beginning is gone")
    job = follow.page.url.partition("job=")[2].partition("#")[0]
    follow.begin()
    assert f"job={job}" in follow.page.url
    expect(follow.page.locator("#done-of")).to_have_text("2/12")
    assert follow.step == "drain"


def test_a_database_that_the_system_took_away_is_opened_again(follow):
    """What phones do to a page in the background: the next transaction throws InvalidStateError."""
    follow.page.add_init_script(
        """const open = IDBFactory.prototype.open
        IDBFactory.prototype.open = function (...name) {
          const request = open.apply(this, name)
          request.addEventListener("success", () => { globalThis.handle = request.result })
          return request
        }"""
    )
    follow.open(ready=False).begin()
    follow.page.evaluate("handle.close()")
    follow.done_anyway()
    assert [entry["step"] for entry in follow.log("step-done")] == ["earth-off"]
    expect(follow.page.locator("#unsaved")).to_be_hidden()


def test_a_second_tab_shows_what_the_first_one_ticked(follow, follower, lamp):
    follow.open(ready=False).begin()
    second = follower(follow.page.context.new_page(), follow.url, lamp)
    second.page.goto(follow.page.url)
    second.page.wait_for_selector("html[data-live]")
    second.answer_stops()
    follow.done_anyway()
    expect(second.page.locator("#done-of")).to_have_text("1/12")


def test_a_log_that_is_not_on_this_phone_is_said_so(follow):
    follow.open("?job=0199f0a0-0000-7000-8000-000000000000", ready=False)
    assert follow.step == "cover"
    expect(follow.page.locator("#cover-title")).to_have_text("This phone no longer holds this job")
    expect(follow.page.locator("#gone")).to_contain_text("begin again")


def test_a_job_that_was_begun_is_offered_again(follow):
    follow.open(ready=False).begin().up_to("drain")
    follow.open(ready=False)
    link = follow.page.locator("#others a")
    expect(link).to_contain_text("2 of 12 steps done")
    link.click()
    follow.page.wait_for_selector("html[data-live]")
    follow.answer_stops()
    assert follow.step == "drain"


def test_the_shelf_shows_the_jobs_of_this_phone_with_their_clocks(follow):
    follow.open(ready=False).begin().up_to("stud-off")
    follow.page.goto(follow.url + "/")
    jobs = follow.page.locator("[data-jobs]")
    expect(jobs.locator("h2")).to_have_text("Jobs on this phone")
    expect(jobs.locator("a")).to_contain_text("Seal the cover under the hood lamp")
    expect(jobs.locator("a")).to_contain_text("3 of 12 steps done")
    expect(jobs.locator("a")).to_contain_text(re.compile("Last drips: [45] min"))
    jobs.locator("a").click()
    follow.page.wait_for_selector("html[data-live]")
    follow.answer_stops()
    assert follow.step == "stud-off"


# --- The worker


def test_a_fragment_for_htmx_is_never_kept(follow):
    follow.open()
    follow.page.reload()
    follow.page.wait_for_selector("html[data-live]")
    kept = """async () => {
      await fetch("/shelf?words=x", { headers: { "HX-Request": "true" } })
      const caches_ = await Promise.all((await caches.keys()).map((name) => caches.open(name)))
      const every = await Promise.all(caches_.map((cache) => cache.keys()))
      return every.flat().map(({ url }) => new URL(url).pathname)
    }"""
    paths = follow.page.evaluate(kept)
    assert "/shelf" not in paths
    assert "/" in paths
    assert f"/jobs/{follow.pack.hash}" in paths


def test_an_error_is_never_kept(follow):
    follow.open()
    follow.page.goto(follow.url + "/packs/nothing-of-that-name")
    kept = "caches.match('/packs/nothing-of-that-name').then(Boolean)"
    assert follow.page.evaluate(kept) is False


def test_a_page_that_is_not_kept_says_so_when_the_network_is_gone(follow):
    follow.open()
    follow.page.context.set_offline(True)
    answer = follow.page.goto(follow.url + "/authors")
    assert answer.status == 503
    expect(follow.page.locator("h1")).to_have_text(
        "There is no network, and this page is not kept on this phone."
    )


def test_a_new_release_waits_until_a_person_takes_it_and_the_job_goes_on(
    page, server, follower, lamp, lamp_server
):
    """Old page, then the server of a newer release; nothing changes under the running job."""
    follow = follower(page, lamp_server.url, lamp).open().begin().up_to("drain")
    release = page.get_attribute("html", "data-release")
    newer = "f" * 12

    def answer(route):
        fetched = route.fetch()
        text = fetched.text().replace(release, newer)
        route.fulfill(
            response=fetched, body=text, headers={**fetched.headers, "content-length": str(len(text))}
        )

    page.context.route("**/jobs/*", answer)
    page.reload()  # the kept page, of the old release
    page.wait_for_selector("html[data-live]")
    follow.answer_stops()
    assert page.get_attribute("html", "data-release") == release
    page.wait_for_selector("html[data-offline=ready]")
    follow.tap("#to-overview")
    expect(page.locator(".new-version")).to_be_visible()
    follow.tap("[data-do=take-new]")
    page.wait_for_selector(f'html[data-release="{newer}"]')
    page.wait_for_selector("html[data-live]")
    expect(page.locator("#done-of")).to_have_text("2/12")
    page.context.unroute_all(behavior="wait")  # else an answer under way meets a page that is gone
