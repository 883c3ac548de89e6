"""Plan every design of the gallery, and write its picture and figures beside it.

    python examples/gallery/make.py            write pictures, figures.csv and the README's table
    python examples/gallery/make.py --check    plan again; exit code 1 if any is not current

It takes a minute or two.
"""

import argparse
import re
import sys
from pathlib import Path

import stitchpath
from stitchpath.pictures.picture import picture_svg

HERE = Path(__file__).parent
README = HERE.parent.parent / "README.md"
DESIGNS = {
    "first_pear": "standard",
    "duck_pond": "standard",
    "plum_runner": "standard",
    "low_hedge": "standard",
    "orchard_hill": "quick",  # a king-size top takes minutes else
}
COLUMNS = "design,blocks,paths,ends in open cloth,sewn m,travel m,bands,cost s,proven bound s\r\n"


def plans() -> dict[str, stitchpath.Plan]:
    """Return every design's plan, by its name."""
    sys.path.insert(0, str(HERE))
    from tide_lines import drawing

    made = {
        name: stitchpath.make_plan(stitchpath.read_design(HERE / f"{name}.toml"), effort=effort)
        for name, effort in DESIGNS.items()
    }
    return made | {"tide_lines": stitchpath.make_plan(drawing())}


def row(name: str, plan: stitchpath.Plan) -> str:
    """Return a plan's row of the table."""
    told = stitchpath.plan_figures(plan)
    metres = f"{told.sewn_mm / 1000:.1f},{told.travel_mm / 1000:.1f}"
    counts = f"{len(plan.drawing.blocks)},{told.paths},{told.open_ends}"
    return f"{name},{counts},{metres},{max(1, len(plan.windows))},{plan.cost:.1f},{plan.bound:.1f}\r\n"


def readme(made: dict[str, stitchpath.Plan]) -> str:
    """Return the README with the figures of these plans in its table."""
    text = README.read_text(encoding="utf-8")
    for name, plan in made.items():
        told = stitchpath.plan_figures(plan)
        metres = f"{told.sewn_mm / 1000:.1f} m | {told.travel_mm / 1000:.1f} m"
        row = rf"(\(examples/gallery/{name}\.\w+\) \|)[^|]*\|[^|]*\|[^|]*\|[^|]*\|"
        text, found = re.subn(row, rf"\g<1> {told.paths} | {told.open_ends} | {metres} |", text)
        if found != 1:
            raise SystemExit(f"README.md has {found} rows of {name} in its table; it needs one")
    return text


def main() -> int:
    """Write or check; return the exit code."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--check", action="store_true")
    check, made = parser.parse_args().check, plans()
    contents = {HERE / f"{name}.svg": picture_svg(plan) for name, plan in made.items()}
    contents[README] = readme(made)
    contents[HERE / "figures.csv"] = COLUMNS + "".join(row(name, plan) for name, plan in made.items())
    stale = []
    for name, plan in made.items():
        if findings := stitchpath.check_plan(plan, plan.drawing):
            stale.append(f"{name}: {findings[0]}")
    for file, text in contents.items():
        if check and (not file.exists() or file.read_bytes() != text.encode()):
            stale.append(f"{file.name} is not what the plans make now; run make.py and look at it")
        elif not check:
            file.write_bytes(text.encode())
    print("\n".join(stale) or f"{len(made)} designs, all current")
    return 1 if stale else 0


if __name__ == "__main__":
    sys.exit(main())
