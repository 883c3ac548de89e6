"""The part of a path that is sewing or travel, over open cloth too.

Left out are the small stitches that secure an end, and the little way back over a cut line's sewn end where
it is taken up again.
"""

from stitchpath.plan import Move, Span, StitchPath

__all__ = ["is_worked", "worked"]


def is_worked(span: Span) -> bool:
    """Tell whether a span is sewing or travel.

    Examples
    --------
    >>> is_worked(Span(Move.TRAVEL, 0, 1)), is_worked(Span(Move.SECURE, 0, 1))
    (True, False)
    """
    return span.move in (Move.SEW, Move.TRAVEL, Move.STEP)


def worked(path: StitchPath) -> list[Span]:
    """Return a path's spans that are sewing or travel, in order.

    Examples
    --------
    >>> [span.move.value for span in worked(StitchPath([(0, 0), (1, 0)], (Span(Move.SEW, 0, 1, 1),)))]
    ['sew']
    >>> worked(StitchPath([(0, 0)], ()))
    []
    """
    return [span for span in path.spans if is_worked(span)]
