"""What to heed before sewing, in the same words on every page for people."""

__all__ = ["GENERAL", "RULER_WORK", "TRUE_SCALE"]

GENERAL = (
    "Keep hands and clamps clear of the head.",
    "Make a first run with the needle up.",
    "Follow the machine's own manual first: where it differs from anything here, the manual is right.",
    "Cloth is good to about a millimetre: measure on the quilt itself before you sew.",
)
"""Before anything is sewn."""

RULER_WORK = (
    "Use a ruler foot only, and only thick rulers and templates made for it: a thin one slips under it.",
    "A sheet of paper is a pattern to cut a template from, not a template.",
    "Put the foot down before the ruler comes near it, and leave it down until the ruler is away.",
    "Stop the machine before you move a hand.",
    "Wear eye protection: a needle that hits a ruler breaks.",
    "The machine's manual goes first: where it differs from anything here, the manual is right.",
)
"""For work along rulers and templates: common practice, no source."""

TRUE_SCALE = (
    "Print at 100 %, without fitting to the page, then measure both rules: 100 mm and 4 in. "
    "If either is off, print again; do not sew from it."
)
