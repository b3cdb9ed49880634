"""Spans of the day and how a use is spread over them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.energy.day import hours_of, may_run, running, span_profile
from layout.project.model.energy import Use, span_hours


def test_span_over_midnight():
    """20:00 to 06:00 covers ten hours, on both sides of midnight."""
    profile = span_profile(("20:00-06:00",))
    assert hours_of(profile) == pytest.approx(10.0)
    assert (profile[19], profile[20], profile[0], profile[5], profile[6]) == (0.0, 1.0, 1.0, 1.0, 0.0)


def test_part_of_an_hour():
    """A span that ends at half past covers half of that hour."""
    assert span_profile(("08:30-10:15",))[8:11] == pytest.approx((0.5, 1.0, 0.25))


@pytest.mark.parametrize("text", ["8-10", "08:00", "25:00-26:00", "08:00-08:00", "24:30-06:00"])
def test_odd_spans_are_refused(text):
    """What is no span of the day is refused with an example of one."""
    with pytest.raises(ValueError, match=r"span|past|empty"):
        span_hours(text)


def test_more_than_a_day_is_refused():
    """A use of more than 24 h a day, or longer than its spans, is refused."""
    with pytest.raises(ValueError, match="a day has 24 h"):
        Use(hours=25.0)
    with pytest.raises(ValueError, match="only come to 2 h"):
        Use(hours=3.0, between=("08:00-10:00",))


@given(hours=st.floats(0, 24))
def test_hours_alone_are_spread(hours):
    """Hours without spans keep their sum and are even."""
    profile = running(hours, ())
    assert hours_of(profile) == pytest.approx(hours)
    assert max(profile) - min(profile) < 1e-12


@given(start=st.integers(0, 23), length=st.integers(1, 23), share=st.floats(0, 1))
def test_hours_in_spans_keep_their_sum(start, length, share):
    """Hours beside spans keep their sum and stay inside the spans."""
    span = (f"{start:02d}:00-{(start + length) % 24:02d}:00",)
    profile = running(share * length, span)
    assert hours_of(profile) == pytest.approx(share * length)
    allowed = may_run(1.0, span)
    assert all(part == 0 or can for part, can in zip(profile, allowed, strict=True))
