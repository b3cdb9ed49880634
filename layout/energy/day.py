"""Hours of the day: spans, how long they are, and how evenly a use is spread over them."""

from __future__ import annotations

from layout.project.model.energy import span_hours

HOURS = 24
"""Steps of the chart of the day."""

Profile = tuple[float, ...]
"""Share of each hour of the day, 0 to 1, in which something runs."""


def span_profile(between: tuple[str, ...]) -> Profile:
    """Return the share of each hour that the spans cover, at most 1."""
    covered = [0.0] * HOURS
    for text in between:
        start, end = span_hours(text)
        for low, high in ((start, end),) if start < end else ((start, 24.0), (0.0, end)):
            for hour in range(HOURS):
                covered[hour] += max(0.0, min(high, hour + 1.0) - max(low, float(hour)))
    return tuple(min(share, 1.0) for share in covered)


def running(hours: float | None, between: tuple[str, ...]) -> Profile:
    """Return how something runs through the day.

    Spans say when; hours beside them are spread evenly over the spans, and hours alone over the whole day.
    """
    if not between:
        return ((hours or 0.0) / HOURS,) * HOURS
    spans = span_profile(between)
    total = sum(spans)
    if hours is None or total == 0:
        return spans
    return tuple(share * min(hours / total, 1.0) for share in spans)


def hours_of(profile: Profile) -> float:
    """Return the hours a day of a profile."""
    return sum(profile)


def may_run(hours: float | None, between: tuple[str, ...]) -> Profile:
    """Return 1 for each hour in which something may run, else 0: what can fall together in the worst case."""
    if hours == 0:
        return (0.0,) * HOURS
    if not between:
        return (1.0,) * HOURS
    return tuple(1.0 if share > 0 else 0.0 for share in span_profile(between))
