"""Tests of both packages; `tests.builders` makes the jobs, machines and cutters that they need."""
