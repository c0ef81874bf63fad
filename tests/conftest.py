"""How thoroughly the laws are tried: ``LAWS=deep pytest tests/properties``."""

from __future__ import annotations

import os

from hypothesis import HealthCheck, settings

# No deadline: a busy machine is no fault of the code.
settings.register_profile(
    "usual", deadline=None, suppress_health_check=[HealthCheck.too_slow]
)
settings.register_profile("deep", settings.get_profile("usual"), max_examples=20_000)
settings.load_profile(os.environ.get("LAWS", "usual"))
