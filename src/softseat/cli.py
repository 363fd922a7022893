"""The commands. Each imports what it needs when it runs, so that help comes at once."""

import json
import os
import sys
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Annotated, Any

import typer

from softseat import cli_service
from softseat.cli_text import brief, calculation_list, tabulated
from softseat.errors import SoftseatError

app = typer.Typer(
    help="An enquiry for rubber-lined concentric butterfly valves in, a defended offer out.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)
maker_app = typer.Typer(help="The maker's own data.", no_args_is_help=True)
app.add_typer(maker_app, name="maker")

Format = Annotated[str, typer.Option("--format", help="table or json")]
Out = Annotated[Path | None, typer.Option("--out", help="folder of the pack; default <enquiry name>-pack/")]
MakerDir = Annotated[Path | None, typer.Option("--maker", help="folder of the maker's data; default: the shipped, invented set")]


def main() -> None:
    """Entry point: a mistake of the caller is one sentence on stderr and exit 2; so is output that has nowhere to go."""
    try:
        try:
            app()
        finally:
            sys.stdout.flush()
    except SoftseatError as error:
        print(f"softseat: {error}", file=sys.stderr)
        sys.exit(2)
    except BrokenPipeError:
        _drop_output()
        sys.exit(0)
    except OSError as error:
        _drop_output()
        print(f"softseat: {error.filename or 'what was printed'}: {error.strerror or error}; nothing more was written", file=sys.stderr)
        sys.exit(2)


def _drop_output() -> None:
    """What is still buffered goes nowhere, so that the end of the program does not stumble over it again."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


@app.command()
def demo(out: Annotated[Path, typer.Option("--out")] = Path("demo-pack")) -> None:
    """Main job on the shipped, invented enquiry: prints a summary, writes a pack."""
    from softseat.job import demo_enquiry, offer_enquiry

    with demo_enquiry() as enquiry:
        offer = offer_enquiry(enquiry, out=out, name="demo")
    print(offer.summary())


@app.command()
def offer(
    enquiry: Path,
    out: Out = None,
    maker: MakerDir = None,
    order: Annotated[Path | None, typer.Option("--order", help="order.toml: buyer, reference, revision, date, letter head")] = None,
    columns: Annotated[Path | None, typer.Option("--columns", help="heading = field, one a line (TOML)")] = None,
    papers: Annotated[str, typer.Option("--papers", help="all, none, or names with commas")] = "all",
    page: Annotated[str, typer.Option("--page", help="a4 or letter")] = "a4",
    calculations: Annotated[bool, typer.Option("--calculations", help="a calculation sheet for each item")] = False,
    overrides: Annotated[
        Path | None, typer.Option("--overrides", help="stops that an engineer answers for: n, rule, reason, by (TOML)")
    ] = None,
    format: Annotated[str, typer.Option("--format", help="table, json, or parquet: figures only")] = "table",
) -> None:
    """Read an enquiry, decide every item, write the pack."""
    from softseat.job import filed_enquiry, offer_enquiry

    if format == "parquet":
        return print(filed_enquiry(enquiry, out=out, maker=maker, columns=columns))
    made = offer_enquiry(
        enquiry,
        out=out,
        maker=maker,
        order=order,
        columns=columns,
        papers=papers,
        page=page,
        calculations=calculations,
        overruled=overrides,
        progress=_progress(format),
    )
    print(made.json() if format == "json" else made.summary())


@app.command(context_settings={"ignore_unknown_options": True})
def item(words: list[str], maker: MakerDir = None, format: Format = "table") -> None:
    """One item from free words: softseat item sea water dn300 760 m3/h 6 bar 40C wafer lever."""
    from softseat.job import phone_item

    made = phone_item(" ".join(words), maker)
    print(json.dumps(made.as_json(), ensure_ascii=False, indent=1) if format == "json" else phone_text(made))


def phone_text(made: Any) -> str:
    """What is said on the telephone: verdict, build, what was assumed, the one question."""
    from softseat.papers.plain import phone

    return phone(made)


@app.command()
def compare(a: Path, b: Path, out: Out = None) -> None:
    """Two revisions of an enquiry: what was added, gone, changed; which verdicts and builds moved."""
    from softseat.job import compare_enquiries

    print(compare_enquiries(a, b, out))


@app.command()
def calc(
    name: Annotated[str | None, typer.Argument()] = None,
    file: Annotated[str, typer.Argument(help="JSON lines; - for standard input")] = "-",
    list_: Annotated[bool, typer.Option("--list", help="names, inputs, units, sources, one example each")] = False,
    format: Format = "table",
) -> None:
    """One calculation: JSON lines in, JSON lines out."""
    from softseat.calculator import run
    from softseat.errors import InputError

    if list_ or name is None:
        print(calculation_list(format))
        return
    lines = sys.stdin if file == "-" else _open(file)
    for number, line in enumerate(lines, start=1):
        if not line.strip():
            continue
        try:
            asked = json.loads(line)
        except json.JSONDecodeError as error:
            raise InputError(f"line {number}: not a JSON object ({error.msg} at column {error.colno})") from None
        if not isinstance(asked, dict):
            raise InputError(f'line {number}: a JSON object is wanted, as in {{"kv": 100}}')
        print(json.dumps(run(name, asked), ensure_ascii=False))


def _open(file: str) -> Iterable[str]:
    from softseat.errors import InputError

    try:
        return Path(file).read_text(encoding="utf-8").splitlines()
    except (OSError, UnicodeDecodeError) as error:
        raise InputError(f"{file}: cannot be read ({error})") from None


@app.command()
def verify(format: Format = "table") -> None:
    """Recompute every published check value on this machine."""
    from dataclasses import asdict

    from softseat.verification import verify as checks

    found = list(checks())
    failed = [c for c in found if not c.passed]
    if format == "json":
        print(json.dumps([asdict(c) for c in found], ensure_ascii=False, indent=1))
    else:
        for c in found:
            mark = "pass" if c.passed else "FAIL"
            print(f"{mark}  {c.id:10} {c.calculation:22} {c.output:18} {c.expected!s:>14} {brief(c.got):>14}  {c.source}")
        print(f"{len(found) - len(failed)} of {len(found)} published values agree")
    if failed or not found:
        raise typer.Exit(1)


@app.command()
def rules(format: Format = "table") -> None:
    """The rulebook."""
    from softseat.selection.rulebook import rulebook

    print(tabulated(rulebook(), format, ("id", "area", "severity", "evaluated", "condition")))


@app.command()
def fields(format: Format = "table") -> None:
    """The fields of an enquiry."""
    from softseat.enquiry.fieldtable import fields as known

    rows = [{k: str(getattr(f, k)) for k in f.__dataclass_fields__} for f in known().values()]
    print(tabulated(rows, format, ("key", "unit", "default", "question")))


for after in (cli_service.works, cli_service.why, cli_service.watch, cli_service.life, cli_service.replace):
    app.command()(after)


@app.command()
def desk(
    host: Annotated[
        str, typer.Option("--host", help="another than 127.0.0.1 opens the desk to others: then everybody logs in")
    ] = "127.0.0.1",
    port: Annotated[int, typer.Option("--port", min=1, max=65535)] = 8080,
    db: Annotated[str | None, typer.Option("--db", help="file, or postgresql://USER@HOST/NAME; default: a file of your own")] = None,
    maker: MakerDir = None,
    certificate: Annotated[Path | None, typer.Option("--certificate", help="PEM file: serve https")] = None,
    key: Annotated[Path | None, typer.Option("--key", help="PEM file of its key")] = None,
    add_user: Annotated[str | None, typer.Option("--add-user", help="enter a person (password asked for), do not serve")] = None,
    role: Annotated[str, typer.Option("--role", help="reader, engineer or lead")] = "engineer",
) -> None:
    """The web face and the HTTP interface, on this machine alone unless told otherwise."""
    from softseat.desk.serve import add_user as enter
    from softseat.desk.serve import default_store, serve

    url = db or default_store()
    if add_user is None:
        serve(host, port, url, maker=maker, certificate=certificate, key=key)
        return
    enter(url, add_user, role, typer.prompt("password", hide_input=True, confirmation_prompt=True))
    print(f"{add_user} may log in as {role}")


@maker_app.command("check")
def maker_check(folder: Path) -> None:
    """Check a maker's data: names file, row, column and what is allowed."""
    from softseat.errors import InputError
    from softseat.maker.check import check

    if not folder.is_dir():
        raise InputError(f"{folder} is not a folder; wanted is a folder of maker's data, as softseat maker new writes it")
    faults = check(folder)
    for fault in faults:
        print(fault)
    print(f"{len(faults)} fault{'s' if len(faults) != 1 else ''} in {folder}")
    if faults:
        raise typer.Exit(1)


@maker_app.command("new")
def maker_new(folder: Path) -> None:
    """Write an empty package of maker's data to fill in."""
    from softseat.maker.new import new

    new(folder)
    print(f"empty maker's data written to {folder}; fill it in, then: softseat maker check {folder}")


def _progress(format: str) -> Callable[[str, int, int], None] | None:
    """Progress on a terminal, silence in a pipe."""
    if format == "json" or not sys.stderr.isatty():
        return None

    def show(what: str, done: int, total: int) -> None:
        print(f"\r{what} {done}/{total}   ", end="" if done < total else "\n", file=sys.stderr, flush=True)

    return show


if __name__ == "__main__":
    main()
