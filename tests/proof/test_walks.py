"""Laws of the proof over jobs that are right by construction: no finding in any, and each slip is found."""

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.proof.jobs import Job, jobs
from webapp.compile import Result, compile_bytes

ENOUGH = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def result(text: str) -> Result:
    return compile_bytes(text.encode(), "pack.md", {}, "grown")


@ENOUGH
@given(jobs())
def test_a_job_that_is_undone_and_done_up_again_is_free_of_findings(job: Job):
    assert [finding.text() for finding in result(job.text()).findings] == []


@ENOUGH
@given(jobs().filter(Job.redone), st.data())
def test_a_job_in_which_one_thing_is_not_done_up_again_does_not_compile(job: Job, data: st.DataObject):
    step, at = data.draw(st.sampled_from(job.redone()))
    assert result(job.text(without=(step, at))).errors, f"{step}, action {at + 1}"
