"""Metric against unified threads: published dimensions, and why one passes for the other."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from triage.physics import threads as t
from triage.physics.limits import OutOfRange, UnreadableCode

HALF_INCH, M12_FINE = t.parse_thread("1/2-20"), t.parse_thread("M12x1.25")


def test_half_inch_fine_dimensions():
    # "UNIFIED Fine Thread Nominal Dimensions According to ANSI B1.1"; its mm are rounded at 0.0001 in first
    assert HALF_INCH.major_mm == pytest.approx(12.700)
    assert HALF_INCH.pitch_mm == pytest.approx(1.270)
    assert HALF_INCH.pitch_diameter_mm == pytest.approx(11.874, abs=0.0013)
    assert HALF_INCH.nut_minor_mm == pytest.approx(11.326, abs=0.0013)
    assert HALF_INCH.screw_minor_mm == pytest.approx(11.143, abs=0.0013)


@pytest.mark.parametrize(
    ("code", "pitch_diameter", "nut_minor"),
    [
        ("M12x1.75", 10.863, 10.106),  # "ISO Metric Thread Nominal Dimensions"
        ("M12x1.25", 11.188, 10.647),  # its formulas, worked out
        ("M12x1.5", 11.026, 10.376),
    ],
)
def test_metric_dimensions(code, pitch_diameter, nut_minor):
    thread = t.parse_thread(code)
    assert thread.major_mm == 12.0
    assert thread.pitch_diameter_mm == pytest.approx(pitch_diameter, abs=0.001)
    assert thread.nut_minor_mm == pytest.approx(nut_minor, abs=0.001)


def test_why_the_two_are_confused():
    # worked out from the published dimensions
    assert HALF_INCH.pitch_mm - M12_FINE.pitch_mm == pytest.approx(0.020)
    assert HALF_INCH.major_mm - M12_FINE.major_mm == pytest.approx(0.70)
    assert HALF_INCH.per_inch == pytest.approx(20.00)
    assert M12_FINE.per_inch == pytest.approx(20.32)


def test_half_inch_nut_on_m12_stud_hangs_by_half():
    # worked out: 0.337 of 0.687 mm on each side, 49 %; 0.16 mm out of step in 8 turns
    assert t.flank_overlap_mm(stud=M12_FINE, nut=HALF_INCH) == pytest.approx(0.337, rel=0.02)
    assert t.flank_overlap_mm(HALF_INCH, HALF_INCH) == pytest.approx(0.687, rel=0.02)
    assert t.overlap_fraction(stud=M12_FINE, nut=HALF_INCH) == pytest.approx(0.49, rel=0.02)
    assert t.pitch_error_mm(M12_FINE, HALF_INCH, 8) == pytest.approx(0.16)


@pytest.mark.parametrize(
    ("stud", "nut", "fit"),
    [
        ("M12x1.25", "1/2-20", t.Fit.LOOSE),
        ("1/2-20", "M12x1.25", t.Fit.JAMS),  # nut 12.0 < stud 12.7 mm
        ("M12x1.25", "M12x1.5", t.Fit.CROSSES),
        ("M12x1.25", "M12x1.25", t.Fit.MATCH),
        ("1/2-20", "1/2-20 UNF", t.Fit.MATCH),
    ],
)
def test_fits(stud, nut, fit):
    assert t.fit(t.parse_thread(stud), t.parse_thread(nut)) is fit


def test_full_engagement_of_one_diameter():
    # common practice, no source; turns worked out: 12.7/1.27 and 12/1.25
    assert t.engagement_turns(HALF_INCH) == pytest.approx(10)
    assert t.engagement_turns(M12_FINE) == pytest.approx(9.6)
    assert t.engagement_turns(M12_FINE, 6.0) == pytest.approx(4.8)


@pytest.mark.parametrize(
    ("crest", "size"), [(11.7, "M12"), (11.9, "M12"), (12.0, "M12"), (12.5, "1/2 in"), (12.7, "1/2 in")]
)
def test_stud_by_calliper(crest, size):
    assert t.stud_by_crest(crest) == size  # from memory: class tolerances


@pytest.mark.parametrize(
    ("written", "plain"),
    [
        ("m12 x 1.25", "M12x1.25"),
        ("M12×1.25", "M12x1.25"),
        ("M12-1.25", "M12x1.25"),
        ("1/2 - 20", "1/2-20"),
        ('1/2"-20 UNF', "1/2-20"),
        ("1/2x20", "1/2-20"),
    ],
)
def test_ways_of_writing_a_thread(written, plain):
    assert t.parse_thread(written) == t.parse_thread(plain)


@pytest.mark.parametrize("text", ["", "M12", "1/2", "half inch", "1/0-20", "1/2-0", "18x8.50-8"])
def test_what_is_no_thread_says_how_to_write_one(text):
    with pytest.raises(UnreadableCode, match=r"M12x1\.25 or 1/2-20"):
        t.parse_thread(text)


@given(st.text())
def test_any_text_is_a_thread_or_a_value_error(text):
    try:
        assert t.parse_thread(text).pitch_mm > 0
    except ValueError as error:
        assert str(error)


@given(st.floats(6, 20), st.floats(0.06, 0.2))
def test_diameters_are_in_order_and_a_thread_fits_itself(major, part):
    thread = t.Thread(major, major * part)
    assert thread.screw_minor_mm < thread.nut_minor_mm < thread.pitch_diameter_mm < thread.major_mm
    assert t.overlap_fraction(thread, thread) == pytest.approx(1)
    assert t.pitch_error_mm(thread, thread, 10) == 0
    assert t.fit(thread, thread) is t.Fit.MATCH


@given(st.floats(0, 20), st.floats(0, 20))
def test_pitch_error_grows_with_turns(one, other):
    low, high = sorted((one, other))
    assert t.pitch_error_mm(M12_FINE, HALF_INCH, low) <= t.pitch_error_mm(M12_FINE, HALF_INCH, high)


@pytest.mark.parametrize(
    "call",
    [
        lambda: t.parse_thread("M120x1.25"),
        lambda: t.parse_thread("M12x12"),
        lambda: t.pitch_error_mm(M12_FINE, HALF_INCH, -1),
        lambda: t.engagement_turns(M12_FINE, 100),
        lambda: t.stud_by_crest(12.25),
    ],
)
def test_outside_the_range_is_refused(call):
    with pytest.raises(OutOfRange, match="allowed"):
        call()
