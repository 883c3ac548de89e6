"""Values as they can be typed; anything else is refused in a sentence that says what to write."""

import argparse
import math

__all__ = ["foot_radius", "place", "seed", "stitch_length", "tolerance", "workers"]


def seed(text: str) -> int:
    """Read a seed.

    Examples
    --------
    >>> seed("7")
    7
    """
    number = int(text) if text.isascii() and text.isdigit() and len(text) <= 18 else -1
    if number < 0:
        raise argparse.ArgumentTypeError(f"{text!r} is no seed: write a whole number from 0 up")
    return number


def workers(text: str) -> int:
    """Read how many processes to plan in.

    Examples
    --------
    >>> workers("2")
    2
    """
    count = int(text) if text.isascii() and text.isdigit() and len(text) <= 3 else 0
    if count < 1:
        raise argparse.ArgumentTypeError(f"{text!r} is no number of workers: write one from 1 to 999")
    return count


def place(text: str) -> tuple[float, float]:
    """Read a place, in whatever unit it is in.

    Examples
    --------
    >>> place("-1.5,20")
    (-1.5, 20.0)
    """
    try:
        x, y = map(float, text.split(","))
    except ValueError:
        x = y = math.nan
    if not (math.isfinite(x) and math.isfinite(y)):
        raise argparse.ArgumentTypeError(f"{text!r} is no place: write x,y such as 0,0")
    return x, y


def tolerance(text: str) -> float:
    """Read how far from a line stitching may lie, in millimetres.

    Examples
    --------
    >>> tolerance("1/4 in"), tolerance("1")
    (6.35, 1.0)
    """
    return _length(text, "tolerance", (0.01, 10))


def stitch_length(text: str) -> float:
    """Read the length of a stitch, in millimetres.

    Examples
    --------
    >>> stitch_length("1/10 in")
    2.54
    """
    return _length(text, "stitch length", (0.1, 100))


def foot_radius(text: str) -> float:
    """Read how far the edge of a ruler foot is from the needle, in millimetres.

    Examples
    --------
    >>> foot_radius("1/4 in")
    6.35
    """
    return _length(text, "foot's radius", (0.5, 50))


def _length(text: str, what: str, limits_mm: tuple[float, float]) -> float:
    from stitchpath.units import parse_length

    try:
        length_mm = parse_length(_number_or_text(text))
    except ValueError as error:
        raise argparse.ArgumentTypeError(str(error)) from None
    least, most = limits_mm
    if not least <= length_mm <= most:
        said = f'{text!r} is no {what}: write one from "{least:g} mm" to "{most:g} mm"'
        raise argparse.ArgumentTypeError(said)
    return length_mm


def _number_or_text(text: str) -> float | str:
    try:
        number = float(text)
    except ValueError:
        return text
    return number if math.isfinite(number) else text
