"""JSON of results: the ledgers and their summary, always valid JSON."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from greenhouse_sim.plans.compare import Comparison

SCHEMA = 1


def json_text(result: Comparison, **more: Any) -> str:
    """``{"schema": 1, "seasons": [...], "summary": [...]}`` and ``more``, in one line."""
    answer = {
        "schema": SCHEMA,
        "seasons": [plain(season.ledger) for season in result.seasons],
        "summary": [plain(row) for row in result.summary],
        **more,
    }
    return json.dumps(answer, allow_nan=False, ensure_ascii=False) + "\n"


def plain(value: Any) -> Any:
    """A value in JSON's own kinds: what is not finite becomes null, numpy's numbers Python's."""
    if type(value) is float:  # most of a hundred thousand values: asked first
        return value if math.isfinite(value) else None
    if isinstance(value, Mapping):
        return {str(key): plain(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [plain(one) for one in value]
    if hasattr(value, "tolist"):
        return plain(value.tolist())
    if isinstance(value, float) and not math.isfinite(value):
        return None
    return value
