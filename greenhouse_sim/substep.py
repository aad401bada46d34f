"""KERNEL: the length of a sub-step.

Half an hour is enough: air is solved exactly within a sub-step and the slow nodes are
second order, so against an independent integration of the same equations a winter differs
by thousandths of a kelvin. What needs the sub-step is the burners' and thermostats' switching.
"""

from __future__ import annotations

SUB_STEPS = 2
STEP_S = 3600.0 / SUB_STEPS
PER_STEP_S = 1.0 / STEP_S
"""Multiplied with in the loop: divisions are what it would wait for."""
