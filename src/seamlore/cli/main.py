"""The command line: which commands there are, and how an error is shown."""

from __future__ import annotations

import gc
import io
import os
import sys
from contextlib import suppress
from errno import EFBIG, EIO, ENOSPC, EROFS
from importlib import import_module
from typing import TextIO, TypeGuard

import click

from seamlore import __version__
from seamlore.cli.groups import Spoken
from seamlore.errors import SeamloreError, nearest, plain
from seamlore.steps.order import STEPS
from seamlore.wording import reworded, spoken

# Arrays here are small: shared out among threads they take longer. Said before any library of arrays is imported; who has
# set it already is left alone.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
# What a command makes lives until it ends: rings of objects that nothing else holds are looked for less often than is usual.
gc.set_threshold(50_000)

# In the order of the job. A command's module is imported only when it is used, so that help is there at once.
COMMANDS = {step.name: step.command for step in STEPS if step.command} | {
    "cut": "Lay a list of pieces out on fabric, edge to edge, with little waste.",
    "open": "Do all of this in the browser, with your own photographs.",
    "shelf": "List and find the quilts on the shelf; send and take them; back it up.",
    "demo": "The whole job, once, on a quilt that comes with the program.",
}


def _with_spoken_help(command: click.Command) -> None:
    """Give the help of a command, and of those within it, in the wording that is spoken."""
    command.context_class = Spoken
    for each in command.commands.values() if isinstance(command, click.Group) else ():
        _with_spoken_help(each)


class Commands(click.Group):
    """The commands, each imported when it is called."""

    context_class = Spoken

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Read what was typed; to a bare name its help is the answer."""
        return super().parse_args(ctx, args or ["--help"])

    def get_help_option(self, ctx: click.Context) -> click.Option | None:
        """Let the wording be known before help is given."""
        option = super().get_help_option(ctx)
        if option is not None:
            option.is_eager = False
        return option

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Give the names in the order of the job."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Import one command."""
        if cmd_name not in COMMANDS:
            return None
        command = import_module(f"seamlore.cli.{cmd_name}").command
        assert isinstance(command, click.Command)
        _with_spoken_help(command)
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Find the command that was asked for, or offer the nearest."""
        if args and args[0] not in COMMANDS and not args[0].startswith("-"):
            raise click.UsageError(f'"{args[0]}" is not a command: {nearest(args[0], COMMANDS)}')
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List the commands without importing one."""
        with formatter.section("What it does"):
            formatter.write_dl(list(COMMANDS.items()))


def _speak(context: click.Context, option: click.Parameter, british: bool) -> None:
    spoken.set("british" if british else "us")


@click.command(cls=Commands, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, "--version", message="Seamlore %(version)s")
@click.option(
    "--british",
    is_flag=True,
    is_eager=True,
    expose_value=False,
    callback=_speak,
    envvar="SEAMLORE_BRITISH",
    help="British words and spelling in what is said.",
)
def seamlore() -> None:
    """Seamlore reads an old patchwork quilt from a photograph and a tape measure, drafts it exactly, dates it, and
    works out how to make the next thing from it.

    Lengths carry their unit: 9in, "9 1/2 in", 23cm. Add --help after a command for more; add --json to get
    the answer as one JSON object.
    """


def run(words: list[str] | None = None) -> int:
    """Run the command line and give its exit code.

    Parameters
    ----------
    words : list of str, optional
        What was typed after `seamlore`; the process's own words when not given.

    Returns
    -------
    int
        0 done, 2 bad input with one line on standard error, 130 stopped by the user, 1 a mistake of the program's own.
    """
    try:
        seamlore.main(args=words, prog_name="seamlore", standalone_mode=False)
    except SeamloreError as fault:
        return _refuse(str(fault))
    except click.exceptions.Abort:
        return _refuse("Stopped.", 130)
    except click.ClickException as fault:
        return _refuse(_usage(fault))
    except (BrokenPipeError, SystemExit):
        # Whoever read the output has seen enough of it; click itself ends the program then.
        _let_go(sys.stdout)
        return 0
    except Exception as fault:
        if _is_of_output(fault):
            _let_go(sys.stdout)
            why = (fault.strerror or "it is refused").lower()
            return _refuse(f"what was to be printed: it cannot be written: {why}; send it to another place")
        if os.environ.get("SEAMLORE_TRACE"):
            raise
        return _refuse(
            f"Seamlore has made a mistake ({type(fault).__name__}: {fault}); tell its makers what you did, "
            "with what it prints when SEAMLORE_TRACE=1 is set",
            1,
        )
    return 0


def _is_of_output(fault: Exception) -> TypeGuard[OSError]:
    """Whether printing failed: what fails at a file names it."""
    return isinstance(fault, OSError) and fault.filename is None and fault.errno in (ENOSPC, EFBIG, EIO, EROFS)


def _let_go(stream: TextIO) -> None:
    """Print no more to a stream, so that what it still holds is not tried once more when the program ends."""
    with suppress(OSError, ValueError), open(os.devnull, "wb") as nowhere:
        os.dup2(nowhere.fileno(), stream.fileno())


def _usage(fault: click.ClickException) -> str:
    line = " ".join(fault.format_message().split())
    context = getattr(fault, "ctx", None)
    asked = context.command_path if context else "seamlore"
    return f"{line.rstrip('.')}; for help: {asked} --help"


def _refuse(line: str, code: int = 2) -> int:
    try:
        print(plain(reworded(line)), file=sys.stderr, flush=True)
    except OSError:
        # There is nowhere left to say it; the exit code does.
        _let_go(sys.stderr)
    return code


def entry() -> None:
    """Run as a program."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            # A sign that the terminal or the file does not know is shown by its number.
            stream.reconfigure(errors="backslashreplace")
    code = run()
    # The program ends, and its memory with it: nothing is looked through once more for rings of objects.
    gc.freeze()
    sys.exit(code)


if __name__ == "__main__":
    entry()
