"""The command line: ``greenhouse-sim run | compare | heat | explain | new``.

Only the command-line library is imported here; everything heavy waits until a
command needs it, so that ``--help`` answers at once.
"""

from greenhouse_sim.cli.app import app, main

__all__ = ["app", "main"]
