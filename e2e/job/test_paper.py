"""A reason that was typed at the vehicle is handed over to be printed on the sheet."""

import json
from urllib.parse import parse_qs

from playwright.sync_api import expect

from .test_board import REASON, duct, duct_pack  # noqa: F401 - fixtures


def test_the_reasons_of_this_job_are_handed_to_the_sheet(duct):  # noqa: F811
    duct.open(ready=False).begin().up_to("plug-on")
    expect(duct.page.locator("#passed")).to_have_attribute("hidden", "")  # nothing was passed yet
    duct.tap("#leave-out summary")
    duct.page.fill("#reason", "its tab is broken")
    duct.tap("#why-out button")
    duct.tap("#step-look [data-do=look][value=in]")
    duct.done()
    duct.page.fill("#pass-why", REASON)
    duct.tap("#ahead [data-do=do-anyway]")
    duct.page.wait_for_selector("#overview[aria-current]")
    is_sheet = lambda request: request.url.endswith("/sheet.pdf")  # noqa: E731
    with duct.page.context.expect_event("request", is_sheet) as asked:
        duct.page.click("#passed form button")
    (passed,) = json.loads(parse_qs(asked.value.post_data)["passed"][0])
    assert (passed["step"], passed["gate"], passed["rules"]) == ("look", "hand-over", ["R03"])
    assert passed["reason"] == REASON
    answer = duct.page.request.post(asked.value.url, form={"passed": json.dumps([passed])})
    assert (answer.status, answer.headers["content-type"]) == (200, "application/pdf")
