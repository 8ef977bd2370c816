"""What every test has in common: properties are tried on the same examples each time."""

from __future__ import annotations

from hypothesis import HealthCheck, settings

settings.register_profile(
    "fixed",
    derandomize=True,
    database=None,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("fixed")
