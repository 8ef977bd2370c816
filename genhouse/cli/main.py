"""The command: ``genhouse``.  Commands import what they need when they run."""

from __future__ import annotations

import atexit
import gc
import os
from typing import Any

import click

from genhouse import __version__
from genhouse.cli.choices import choices
from genhouse.cli.design import design
from genhouse.cli.ideas import ideas
from genhouse.cli.inspect import inspect
from genhouse.cli.light import light
from genhouse.cli.rooms import rooms
from genhouse.cli.show import show
from genhouse.cli.vary import vary
from genhouse.core.errors import GenhouseError

CAUTION = (
    "For block worlds and early ideas: not construction documents. Structure, stairs, fire and light "
    "are matters for local codes and licensed practice."
)


class Group(click.Group):
    """Says what is wrong in one sentence, with the exit code that the error knows."""

    def invoke(self, ctx: click.Context) -> Any:
        try:
            return super().invoke(ctx)
        except GenhouseError as error:
            click.echo(f"genhouse: {error}", err=True)
            ctx.exit(error.exit_code)
        except click.UsageError as error:
            click.echo(f"genhouse: {error.format_message()}", err=True)
            ctx.exit(error.exit_code)


@click.group(cls=Group, epilog=CAUTION, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="genhouse")
def main() -> None:
    """Courtyard houses for block worlds, from a seed."""
    # Little of what a house makes is circular, and none of it need be searched for at the end;
    # no linear algebra is asked for that would be worth its threads.
    gc.set_threshold(200_000)
    atexit.register(gc.freeze)
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")


for command in (design, inspect, show, rooms, light, vary, ideas, choices):
    command.epilog = CAUTION
    main.add_command(command)
