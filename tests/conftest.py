"""Fixtures that several test files share."""

from chromium import browser

__all__ = ["browser"]
