"""What goes wrong is told in one message, never with a traceback."""

from __future__ import annotations

import contextlib
import os
import sys
from collections.abc import Iterator

import typer

from greenhouse_sim.errors import GreenhouseError

BAD_INPUT = 2
INTERRUPTED = 130
PIPE_CLOSED = 1


@contextlib.contextmanager
def told_plainly() -> Iterator[None]:
    """End the command with one message on standard error and exit status 2 on bad input.

    An interrupt ends it quietly with 130; a reader that went away (``| head``) with 1.
    """
    try:
        yield
    except GreenhouseError as problem:
        typer.echo(f"greenhouse-sim: {problem}", err=True)
        raise typer.Exit(BAD_INPUT) from None
    except BrokenPipeError:
        with contextlib.suppress(OSError, ValueError):
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        raise typer.Exit(PIPE_CLOSED) from None
    except OSError as problem:
        place = problem.filename or "a file"
        reason = problem.strerror or str(problem)
        typer.echo(
            f"greenhouse-sim: {place}: {reason}; name a file or folder that can be read or written",
            err=True,
        )
        raise typer.Exit(BAD_INPUT) from None
    except KeyboardInterrupt:
        raise typer.Exit(INTERRUPTED) from None
