"""A thread is what its designation says, or it is refused. Published: tests/reference/test_threads.py."""

from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.trade.refusal import Refused
from webapp.trade.threads import (
    COARSE,
    PITCHES,
    UNC,
    UNEF,
    UNF,
    minor_diameter,
    pitch_diameter,
    read_thread,
    root_diameter,
    stress_area,
)

METRIC = [f"M{size}" for size in COARSE]
UNIFIED = [
    f"{size}-{tpi} {name}"
    for name, table in (("UNC", UNC), ("UNF", UNF), ("UNEF", UNEF))
    for size, tpi in table.items()
]
threads = st.sampled_from(METRIC + UNIFIED).map(read_thread)


@pytest.mark.parametrize(
    "text, designation",
    [
        ("M8", "M8x1.25"),
        ("m8", "M8x1.25"),
        ("M 8", "M8x1.25"),
        ("M8x1", "M8x1"),
        ("M8 x 1.25", "M8x1.25"),
        ("M8×1.25", "M8x1.25"),
        ("M8-1.25", "M8x1.25"),
        ("M6x1.0", "M6x1"),
        ("M8x1.25x25", "M8x1.25"),
        ("M20x1.5", "M20x1.5"),
        ("M2.5", "M2.5x0.45"),
        ("1/4-20", "1/4-20 UNC"),
        ("1/4-20 UNC", "1/4-20 UNC"),
        ("1/4-28", "1/4-28 UNF"),
        ('1/4"-20', "1/4-20 UNC"),
        ("#10-24", "#10-24 UNC"),
        ("#10-32", "#10-32 UNF"),
        ("1/2-13", "1/2-13 UNC"),
        ("1¼-12", "1 1/4-12 UNF"),
        ("1 1/4-12", "1 1/4-12 UNF"),
        ("1-1/4-12", "1 1/4-12 UNF"),
        ("1-8", "1-8 UNC"),
        ("3/8-20 UN", "3/8-20 UN"),
    ],
)
def test_a_thread_is_read_as_it_is_written_on_bags_and_drawings(text, designation):
    assert read_thread(text).designation == designation


@pytest.mark.parametrize("text", METRIC + UNIFIED)
def test_a_written_out_designation_names_the_same_thread(text):
    thread = read_thread(text)
    assert read_thread(thread.designation) == thread


@pytest.mark.parametrize(
    "text, what, write",
    [
        ("M8x25", "a pitch of 25 mm, coarser than any thread of that diameter", "M8x1.25"),
        ("M8x1.5", "coarser than any thread of that diameter", "M8x1.25"),
        ("M10x1.1", "a pitch of 1.1 mm, which no metric thread has", "M10x1.5"),
        ("M13", "no coarse pitch", "M13x1.5"),
        ("M0", "no coarse pitch", ""),
        ("M99x2", "not between M1 and M64", "M8x1.25"),
        ("8 mm", "no thread that can be read", "M8x1.25"),
        ("M8x1,25", "no thread that can be read", "M8x1.25"),
        ("1/4", "no thread that can be read", "1/4-20"),
        ("10-24", "no thread that can be read", "#10-24"),
        ("3/7-16", "no thread that can be read", "3/8-16 UNC"),
        ("9/8-7", "no thread that can be read", "3/8-16 UNC"),
        ("", "no thread that can be read", "M8"),
        ("3/8-17", "no common unified thread", "3/8-16 UNC or 3/8-24 UNF"),
        ("3/8-16 UNF", "no common unified thread", "3/8-16 UNC or 3/8-24 UNF"),
        ("3/8-17 UN", "no common unified thread", "3/8-16 UNC"),
        ("9-7", "not between #0 and 1 3/4 in", "Read the size again"),
        ("3/8-18", "the taper pipe thread 3/8-18 NPT", "3/8-16 UNC or 3/8-24 UNF"),
        ("1/8-27 NPT", "a pipe thread", "pipe thread's drill"),
        ("G 1/4", "a pipe thread", "pipe thread's drill"),
        ("Rc 1/8", "a pipe thread", "pipe thread's drill"),
    ],
)
def test_an_unclear_thread_is_refused_with_what_to_write(text, what, write):
    with pytest.raises(Refused) as refused:
        read_thread(text)
    assert what in refused.value.what
    assert write in refused.value.write


@given(st.text(max_size=12) | st.from_regex(r"\A[M#]?[0-9]{1,2}[x/-][0-9]{1,2}(-[0-9]{1,2})?\Z"))
def test_whatever_is_typed_is_a_thread_or_refused(text):
    try:
        thread = read_thread(text)
    except Refused:
        return
    assert 0 < thread.pitch < thread.diameter


@given(threads)
def test_a_groove_has_its_diameters_in_order(thread):
    root, minor, middle = root_diameter(thread), minor_diameter(thread), pitch_diameter(thread)
    assert 0 < root < minor < middle < thread.diameter


@given(threads)
def test_the_stress_area_is_that_of_a_rod_between_root_and_pitch_diameter(thread):
    rod = (4 * stress_area(thread) / pi) ** 0.5
    assert root_diameter(thread) < rod < pitch_diameter(thread)


@given(threads)
def test_the_stress_area_is_that_of_the_mean_of_root_and_pitch_diameter(thread):
    """So ISO 898-1 defines it; the unified constant is rounded."""
    mean = (root_diameter(thread) + pitch_diameter(thread)) / 2
    exact = (mean**2 * pi / 4).m_as("mm**2")
    assert stress_area(thread).m_as("mm**2") == pytest.approx(
        exact, rel=1e-4 if thread.system == "metric" else 0.06
    )


@pytest.mark.parametrize("size", COARSE)
def test_a_finer_thread_of_the_same_diameter_is_the_stronger_bolt(size):
    coarse = read_thread(f"M{size}")
    for pitch in PITCHES:
        if float(pitch) < coarse.pitch.m_as("mm"):
            fine = read_thread(f"M{size}x{pitch}")
            assert stress_area(fine) > stress_area(coarse)
            assert fine.kind == "fine"


@pytest.mark.parametrize("size", sorted(UNC.keys() & UNF.keys()))
def test_of_two_unified_threads_the_fine_one_has_more_turns(size):
    coarse, fine = read_thread(f"{size}-{UNC[size]}"), read_thread(f"{size}-{UNF[size]}")
    assert (coarse.kind, fine.kind) == ("coarse", "fine")
    assert coarse.diameter == fine.diameter
    assert fine.pitch < coarse.pitch


def test_a_numbered_screw_has_the_diameter_its_number_says():
    """#10 is 0.190 in (ASME B1.1)."""
    assert read_thread("#10-24").diameter.m_as("inch") == pytest.approx(0.190)
