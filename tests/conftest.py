"""Options of the test run."""

from __future__ import annotations

import pytest


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--renew-pairs",
        action="store_true",
        help="write the expected outputs of tests/pairs anew, to be read in review",
    )
