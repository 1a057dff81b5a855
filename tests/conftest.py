"""Options of the test run."""

from __future__ import annotations

import os

import pytest
from hypothesis import settings

# The same examples on every run, so that a red run can be run again; set to "roving" now and then.
settings.register_profile("steady", derandomize=True, deadline=None)  # others may be at work
settings.register_profile("roving")
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "steady"))


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--renew-pairs",
        action="store_true",
        help="write the expected outputs of tests/pairs anew, to be read in review",
    )
    parser.addoption(
        "--renew-schemas",
        action="store_true",
        help="write the shipped JSON Schemas anew, from what the readers ask for",
    )
