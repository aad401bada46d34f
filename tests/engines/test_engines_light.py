"""What loading the compiled loop brings with it."""

from __future__ import annotations

import subprocess
import sys

SCRIPT = """
import sys
from greenhouse_sim.season import compiled, hour
compiled.compiled(hour.season)
assert "numba" in sys.modules
assert "scipy.linalg" not in sys.modules, "numba looked for linear algebra"
import numpy as np, scipy.linalg
assert np.allclose(scipy.linalg.inv(np.diag([2.0, 4.0])), np.diag([0.5, 0.25]))
"""


def test_the_compiled_loop_needs_no_linear_algebra() -> None:
    """Its import is a fifth of a command's start; who needs it later still gets it."""
    ran = subprocess.run(
        [sys.executable, "-c", SCRIPT], capture_output=True, text=True, check=False
    )
    assert ran.returncode == 0, ran.stderr
