"""What can be typed: one verb for each job."""

import argparse
import textwrap
from collections.abc import Callable
from typing import Any, NoReturn, TypeAlias

from stitchpath.cli import verbs
from stitchpath.cli.compare import compare
from stitchpath.cli.how import add_outputs
from stitchpath.cli.say import CAUTION, say
from stitchpath.cli.values import foot_radius, place, seed, stitch_length, tolerance, workers

__all__ = ["parser"]


_COLUMNS = 78  # of a terminal of 80, as argparse itself leaves two
_TOP_EPILOG = f"""\
Example: stitchpath plan winter_orchard.toml --out sewing

{textwrap.fill(CAUTION, _COLUMNS)}

To complete words with the Tab key, install the extra "completion" and write
this where bash or zsh begins (~/.bashrc, ~/.zshrc):
  eval "$(register-python-argcomplete stitchpath)"
in zsh after
  autoload -U compinit && compinit
and in fish
  register-python-argcomplete --shell fish stitchpath | source
"""


class _Parser(argparse.ArgumentParser):
    def print_help(self, file: Any = None) -> None:
        """Print the help; argparse itself keeps silent where it cannot be written."""
        if file is None:
            say(self.format_help().removesuffix("\n"))
        else:
            super().print_help(file)

    def error(self, message: str) -> NoReturn:
        self.exit(2, f'stitchpath: {message}; "{self.prog} --help" shows what can be written\n')


class _Version(argparse.Action):
    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> NoReturn:
        from importlib.metadata import PackageNotFoundError, version

        try:
            say(f"stitchpath {version('stitchpath')}")
        except PackageNotFoundError:
            say("stitchpath, run from its source")
        parser.exit()


def parser() -> argparse.ArgumentParser:
    """Return the parser of all verbs.

    Each sets ``run``, a function from arguments to exit code, and ``needs``, the heavy modules that it takes.
    """
    top = _Parser(
        prog="stitchpath",
        description="Quilting designs in, few continuous stitch paths in the cheapest order out.",
        epilog=_TOP_EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
    )
    top.add_argument("--version", action=_Version, nargs=0, help="print the version and stop")
    commands = top.add_subparsers(title="verbs", metavar="VERB", required=True)
    _add_plan(commands)
    _add_check(commands)
    _add_lines(commands)
    _add_figures(commands)
    _add_compare(commands)
    _add_schema(commands)
    for verb in commands.choices.values():
        _add_saying(verb)
    return top


# argparse has no public name for what add_subparsers returns.
_Commands: TypeAlias = "argparse._SubParsersAction[_Parser]"  # noqa: SLF001


def _verb(commands: _Commands, name: str, *, short: str, long: str, example: str) -> _Parser:
    return commands.add_parser(
        name,
        help=short,
        description=f"{short[0].upper()}{short[1:]}. {long}",
        epilog=f"Example: {example}",
        allow_abbrev=False,
    )


def _runs(verb: argparse.ArgumentParser, run: Callable[[argparse.Namespace], int], *needs: str) -> None:
    """Say what a verb runs, and which heavy modules it needs; they are imported before the work begins."""
    verb.set_defaults(run=run, needs=[f"stitchpath.{name}" for name in needs])


def _add_plan(commands: _Commands) -> None:
    verb = _verb(
        commands,
        "plan",
        short="plan a design and write its files",
        long="Writes the sewing SVG, a numbered picture, a CSV table and a JSON document, a manifest last; "
        "where a frame reaches the top band by band, also STEM-band-1.svg, STEM-band-1.csv and so on, and "
        "STEM-bands.csv, which says on what to align each band. All of it is checked before it takes the "
        "place of older files; what these had more goes, unless somebody has changed it. Says in short "
        f"what the plan comes to. {CAUTION}",
        example="stitchpath plan winter_orchard.toml --out sewing --unit in",
    )
    _add_design(verb)
    verb.add_argument("--out", required=True, metavar="DIR", help="the folder to write into; made if missing")
    _add_routing(verb)
    _add_formats(verb)
    _add_pages(verb)
    _runs(verb, verbs.plan, "planner", "check", "outputs", "cli.summary", "cli.data")


def _add_pages(verb: argparse.ArgumentParser) -> None:
    group = verb.add_argument_group(
        "pages for people", "each a file that stands by itself, to look at or to print"
    )
    add_outputs(group, audience=frozenset({"people", "paper"}))
    group.add_argument(
        "--paper", choices=["A4", "Letter"], default="A4", help="of the pages to print (default: A4)"
    )
    group.add_argument(
        "--foot-radius",
        type=foot_radius,
        metavar="LENGTH",
        help='with --templates: from the needle to the edge of the ruler foot (default: "1/4 in")',
    )


def _add_routing(verb: argparse.ArgumentParser) -> None:
    group = verb.add_argument_group(
        "how to plan",
        "options left out are as the design says; Ctrl-C ends the search and keeps the best plan so far",
    )
    _add_search(group)
    group.add_argument(
        "--stages",
        choices=["default", "all-in-one"],
        help="default: basting, then seams, then the rest; all-in-one: everything together",
    )
    group.add_argument(
        "--laps",
        choices=["free", "always"],
        help="closed outlines in one unbroken round: always, or where it costs nothing",
    )


# argparse has no public name for what add_argument_group returns.
_Group: TypeAlias = "argparse._ArgumentGroup"  # noqa: SLF001


def _add_search(group: _Group) -> None:
    group.add_argument(
        "--effort",
        choices=["quick", "standard", "proof"],
        default="standard",
        help="how long to look for a cheaper plan or a proof that there is none (default: standard)",
    )
    group.add_argument(
        "--seed", type=seed, default=0, metavar="N", help="another number may find another plan (default: 0)"
    )


def _add_formats(verb: argparse.ArgumentParser) -> None:
    group = verb.add_argument_group("how to write")
    group.add_argument("--unit", choices=["mm", "in"], help="unit of the CSV (default: mm) and the figures")
    group.add_argument("--y-up", action="store_true", help="sewing SVG: count y upwards, not downwards")
    group.add_argument(
        "--origin",
        choices=["finished-corner", "sewn-corner", "middle"],
        default="finished-corner",
        help="sewing SVG of the whole top: where x and y are 0 (default: the finished top's corner); a "
        "band's own files count from where STEM-bands.csv says",
    )
    add_outputs(group, audience=frozenset({"the machine"}))
    group.add_argument(
        "--stitch-length",
        type=stitch_length,
        metavar="LENGTH",
        help="also write STEM-stitches.csv: a point for each stitch, of a length such as "
        '"2.5 mm" or "1/10 in"; STEM-thin.csv likewise',
    )
    group.add_argument(
        "--basting-length",
        type=stitch_length,
        metavar="LENGTH",
        help="with --stitch-length: the stitch length of basting (default: 5 stitches to the inch)",
    )


def _add_check(commands: _Commands) -> None:
    verb = _verb(
        commands,
        "check",
        short="prove written files against their design",
        long="Draws the design again and compares: every line sewn, nothing on open cloth, no stitch in a "
        "keep-out, stages in order, totals right, files as written. Exit code 1 if anything is found.",
        example="stitchpath check winter_orchard.toml sewing",
    )
    _add_design(verb)
    verb.add_argument("folder", metavar="DIR", help="the folder that the files were written into")
    _runs(verb, verbs.check, "check", "cli.report", "cli.data")


def _add_lines(commands: _Commands) -> None:
    verb = _verb(
        commands,
        "lines",
        short="draw a design and write its lines as CSV",
        long="The raw lines as asked for, before any planning: line,role,thread,block,x_mm,y_mm, rounded to "
        "0.001 mm; with --json every number in full.",
        example="stitchpath lines winter_orchard.toml --out lines.csv",
    )
    _add_design(verb)
    _add_out_file(verb)
    _runs(verb, verbs.lines, "drawing", "formats.lines_table")


def _add_figures(commands: _Commands) -> None:
    verb = _verb(
        commands,
        "figures",
        short="print what written plans come to",
        long="Reads every plan in a folder and prints its figures, and beside them what the same lines cost "
        "sewn one by one and by nearest end next; then each job, thread and bobbins, and what to know.",
        example="stitchpath figures sewing --unit in --explain",
    )
    verb.add_argument("folder", metavar="DIR", help="the folder that the files were written into")
    verb.add_argument("--unit", choices=["mm", "in"], default="mm", help="unit of lengths (default: mm)")
    verb.add_argument("--explain", action="store_true", help="say what the figures mean and assume, too")
    _runs(verb, verbs.figures, "cli.report", "cli.data", "formats.read_document")


def _add_compare(commands: _Commands) -> None:
    verb = _verb(
        commands,
        "compare",
        short="put plans side by side, tell what a wish costs, or measure a plan made elsewhere",
        long="Prints a table with the differences to the first plan, and maps of where paths end. One design "
        "with --wish is planned as it is and once under each wish; with --foreign, a plan made elsewhere is "
        "measured against what the first plan is to sew, and put beside it.",
        example='stitchpath compare winter_orchard.toml --wish "no ends in the open" --html wishes.html',
    )
    verb.add_argument(
        "plans",
        metavar="PLAN",
        nargs="+",
        help="a folder or a JSON file that plan wrote, or a design file, which is planned anew",
    )
    verb.add_argument(
        "--wish",
        metavar="NAME",
        action="append",
        default=[],
        help='such as "blocks finished in turn"; can be written several times; "all": each there is',
    )
    group = verb.add_argument_group("how to plan")
    _add_search(group)
    group.add_argument(
        "--workers",
        type=workers,
        metavar="N",
        help="plan in N processes at once (default: one)",
    )
    _add_foreign(verb)
    _add_telling(verb)
    _runs(verb, compare, "compare.whatif", "pages.comparison")


def _add_foreign(verb: argparse.ArgumentParser) -> None:
    group = verb.add_argument_group("a plan made elsewhere")
    group.add_argument(
        "--foreign",
        metavar="FILE",
        help="x,y on each line, a blank line between paths; needs --unit, --origin",
    )
    group.add_argument(
        "--origin",
        type=place,
        metavar="X,Y",
        help="where in that file the finished top's upper left corner lies, in its unit: --origin=-1.5,20",
    )
    group.add_argument("--y-up", action="store_true", help="y grows upwards in that file")
    group.add_argument(
        "--tolerance",
        type=tolerance,
        default=0.5,
        metavar="LENGTH",
        help='how far from a line stitching may lie, such as "1/32 in" (default: 0.5 mm)',
    )


def _add_telling(verb: argparse.ArgumentParser) -> None:
    group = verb.add_argument_group("how to tell it")
    group.add_argument(
        "--unit", choices=["mm", "in"], help="unit of lengths (default: mm), and of a plan made elsewhere"
    )
    group.add_argument("--html", metavar="FILE", help="also write a page with small pictures")
    group.add_argument("--csv", metavar="FILE", help="also write a table, in mm and seconds")
    group.add_argument("--paper", choices=["A4", "Letter"], default="A4", help="of the page (default: A4)")


def _add_saying(verb: argparse.ArgumentParser) -> None:
    group = verb.add_argument_group("what is said")
    group.add_argument(
        "--json",
        action="store_true",
        help="JSON in place of tables and words, in mm and seconds; what a check found stands in it",
    )
    group.add_argument(
        "--quiet",
        action="store_true",
        help="say nothing but what is wrong; what --json, lines or schema print is still printed",
    )


def _add_schema(commands: _Commands) -> None:
    verb = _verb(
        commands,
        "schema",
        short="print the JSON Schema of design files",
        long="An editor that knows it completes and explains the keys of a design file.",
        example="stitchpath schema --out stitchpath-design.schema.json",
    )
    _add_out_file(verb)
    _runs(verb, verbs.schema, "design")


def _add_design(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("design", metavar="DESIGN", help="the design file (TOML)")


def _add_out_file(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("--out", metavar="FILE", help="where to write (default: to standard output)")
