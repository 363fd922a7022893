"""All tests: hypothesis draws the same cases each time and is not hurried; SOFTSEAT_CASES asks for new ones."""

import os

from hypothesis import settings

settings.register_profile("ours", deadline=None, derandomize="SOFTSEAT_CASES" not in os.environ)
settings.load_profile("ours")
