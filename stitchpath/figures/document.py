"""A plan's figures as JSON, each with what it assumes."""

import json
import math
from dataclasses import asdict
from typing import Any

from stitchpath.figures.whole import Figures

__all__ = ["FORMAT", "figures_document"]

FORMAT = "stitchpath figures 1"


def figures_document(figures: Figures) -> str:
    """Return figures as JSON text: all of them by their names, ``assumptions`` beside what rests on them.

    What is derived (tie-offs, total time, ...) is left out, and what is infinite is null.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> from stitchpath.figures.whole import plan_figures
    >>> from stitchpath.plan import Plan
    >>> told = json.loads(figures_document(plan_figures(Plan(Drawing(()), (), (), 0.0))))
    >>> told["format"], told["paths"], told["times"]["assumptions"][-1]
    ('stitchpath figures 1', 0, 'advancing the quilt and breaks not counted')
    """
    document = {"format": FORMAT, **_finite(asdict(figures))}
    return json.dumps(document, ensure_ascii=False, allow_nan=False, indent=1) + "\n"


def _finite(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _finite(inner) for key, inner in value.items()}
    if isinstance(value, tuple):
        return [_finite(inner) for inner in value]
    return None if isinstance(value, float) and not math.isfinite(value) else value
