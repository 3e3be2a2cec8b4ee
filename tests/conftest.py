"""Property tests: the same examples at every run, and no clock, which on a busy machine would fail them for nothing."""

from hypothesis import settings

settings.register_profile("every run", deadline=None, derandomize=True)
settings.load_profile("every run")
