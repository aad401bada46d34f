"""Copies of what stands in a file: tables, lists and plain values."""

from __future__ import annotations

from typing import Any


def copy_of(value: Any) -> Any:
    """The same tables and lists anew; texts, numbers and dates are shared, as nothing changes them.

    A study copies its sections for every farm, and the library's way looks at far more.
    """
    if isinstance(value, dict):
        return {key: copy_of(one) for key, one in value.items()}
    if isinstance(value, list):
        return [copy_of(one) for one in value]
    if isinstance(value, tuple):
        return tuple(copy_of(one) for one in value)
    return value
