"""The command: ``genhouse``.  Commands import what they need when they run."""

from __future__ import annotations

import atexit
import gc
import os
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import click

from genhouse import __version__
from genhouse.cli.choices import choices
from genhouse.cli.compare import compare
from genhouse.cli.design import design
from genhouse.cli.desk import desk
from genhouse.cli.ideas import ideas
from genhouse.cli.inspect import inspect
from genhouse.cli.light import light
from genhouse.cli.names import names
from genhouse.cli.progress import progress_shown
from genhouse.cli.publish import publish
from genhouse.cli.rooms import rooms
from genhouse.cli.show import show
from genhouse.cli.survey import survey
from genhouse.cli.traditions import traditions
from genhouse.cli.vary import vary
from genhouse.cli.village import village
from genhouse.core.errors import GenhouseError
from genhouse.core.sentences import sentence

CAUTION = (
    "For block worlds and early ideas: not construction documents. Structure, stairs, fire and light "
    "are matters for local codes and licensed practice."
)


class Sentence(click.ClickException):
    """What is wrong, on one line, with the exit code that the error knows."""

    def __init__(self, message: str, exit_code: int) -> None:
        super().__init__(sentence(message))
        self.exit_code = exit_code  # type: ignore[misc, unused-ignore]

    def show(self, file: Any = None) -> None:
        click.echo(f"genhouse: {self.message}", err=True, file=file)


class Group(click.Group):
    """Says what is wrong in one sentence."""

    def make_context(self, *args: Any, **extra: Any) -> click.Context:
        with _in_a_sentence():
            return super().make_context(*args, **extra)

    def invoke(self, ctx: click.Context) -> Any:
        with _in_a_sentence(), progress_shown():
            return super().invoke(ctx)


@contextmanager
def _in_a_sentence() -> Iterator[None]:
    try:
        yield
    except GenhouseError as error:
        raise Sentence(str(error), error.exit_code) from error
    except click.UsageError as error:
        if isinstance(error, getattr(click.exceptions, "NoArgsIsHelpError", ())):
            raise
        raise Sentence(error.format_message(), error.exit_code) from error


@click.group(cls=Group, epilog=CAUTION, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="genhouse")
def main() -> None:
    """Courtyard houses for block worlds, from a seed."""
    # Little of what a house makes is circular, and none of it need be searched for at the end;
    # no linear algebra is asked for that would be worth its threads.
    gc.set_threshold(200_000)
    atexit.register(gc.freeze)
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")


for command in (
    design,
    inspect,
    show,
    rooms,
    names,
    publish,
    light,
    vary,
    ideas,
    survey,
    compare,
    village,
    desk,
    choices,
    traditions,
):
    command.epilog = CAUTION
    main.add_command(command)
