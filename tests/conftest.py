"""One cache folder for the whole test run, beside the tests and out of the user's home.

Compiled kernels and prepared winters are keyed by hashes of what they are made from, so the
folder may stay from run to run; delete it freely.
"""

from __future__ import annotations

import os
from pathlib import Path

CACHE = Path(__file__).parents[1] / ".pytest_cache" / "user_cache"

# set as this file is read: test modules may look at the cache while they are collected
os.environ["XDG_CACHE_HOME"] = str(CACHE)
# numpy would start a thread a core in every worker: with all cores at work they wait in circles
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
