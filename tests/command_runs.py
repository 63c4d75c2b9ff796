"""Running commands in-process, with stdout, stderr and exit code apart."""

from __future__ import annotations

import signal
from pathlib import Path

from click.testing import CliRunner, Result

from floorplan_cli.main import cli

SAMPLES = Path(__file__).parent.parent / "sample_plans"
PATIO = str(SAMPLES / "l-patio.toml")
GARAGE = str(SAMPLES / "garage.toml")
POOL = str(SAMPLES / "pool.toml")


def run(*arguments: str, stdin: str | bytes | None = None) -> Result:
    """Run `floorplan ARGUMENTS`; an exception that is not an exit is raised, so that no traceback hides."""
    return CliRunner().invoke(cli, list(arguments), input=stdin, catch_exceptions=False)


def heed_interrupts() -> None:
    """For `preexec_fn`: a shell that runs tests in the background makes its children deaf to Ctrl-C."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)
