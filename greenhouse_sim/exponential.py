"""KERNEL: eˣ as straight code, so that several can be worked out side by side.

A library's exponential is a call for one number, and with calls in it a loop over lanes stays a
loop. x = n·ln 2 + r with a whole n and |r| ≤ ½·ln 2; eʳ by its Taylor series to r¹³ (what is left
out is under 2⁻⁵⁷), evaluated in pairs (Estrin's scheme) so that no product waits for all others;
2ⁿ is a float's exponent. Within one unit in the last place of the library's.

Source: ln 2 in two parts so that n·LN2_HIGH is exact, Cody and Waite, *Software Manual for the
Elementary Functions*, 1980, chapter 6 (from memory).
"""

from __future__ import annotations

import numpy as np

PER_LN2 = 1.4426950408889634
LN2_HIGH = 6.93147180369123816490e-01
LN2_LOW = 1.90821492927058770002e-10
ROUND = 6755399441055744.0
"""1.5·2⁵²: a float added to it is rounded to a whole number, in the last bits of the sum."""
MOST = 700.0
"""Beyond it eˣ leaves the floats."""
FRACTION_BITS = 52
ONE = 1023 << FRACTION_BITS
"""The bits of 1.0."""
C2 = 0.5
C3 = 1.0 / 6.0
C4 = 1.0 / 24.0
C5 = 1.0 / 120.0
C6 = 1.0 / 720.0
C7 = 1.0 / 5040.0
C8 = 1.0 / 40320.0
C9 = 1.0 / 362880.0
C10 = 1.0 / 3628800.0
C11 = 1.0 / 39916800.0
C12 = 1.0 / 479001600.0
C13 = 1.0 / 6227020800.0


def power_of_two(shifted: float) -> float:
    """2ⁿ from n + ROUND: n in its last bits is moved to where a float has its exponent."""
    bits = np.float64(shifted).view(np.int64)
    return np.int64((bits << FRACTION_BITS) + ONE).view(np.float64)


def exp(x: float) -> float:
    """eˣ for −700 < x < 700 (outside, that of the end)."""
    x = min(max(x, -MOST), MOST)
    shifted = x * PER_LN2 + ROUND
    whole = shifted - ROUND
    r = (x - whole * LN2_HIGH) - whole * LN2_LOW
    r2 = r * r
    r4 = r2 * r2
    low = (C2 + r * C3) + r2 * (C4 + r * C5)
    mid = (C6 + r * C7) + r2 * (C8 + r * C9)
    high = (C10 + r * C11) + r2 * (C12 + r * C13)
    return (1.0 + (r + r2 * (low + r4 * (mid + r4 * high)))) * power_of_two(shifted)
