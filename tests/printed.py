"""Pages of HTML printed by Chromium, and what is measured in the PDF."""

from dataclasses import dataclass

import numpy as np
import pytest

MM = 25.4 / 72


@pytest.fixture
def printed(open_page):
    """Print a file of HTML and return its PDF, read; skips where pypdf or a browser is missing."""
    pypdf = pytest.importorskip("pypdf", reason='pypdf is missing: pip install "stitchpath[browser]"')

    def print_file(file):
        out = file.with_suffix(".pdf")
        open_page(file).pdf(path=out, prefer_css_page_size=True, print_background=True)
        return pypdf.PdfReader(out)

    return print_file


@dataclass(frozen=True)
class Drawn:
    """What a page draws, in millimetres from its lower left corner: straight steps, places of letters."""

    steps: np.ndarray
    words: np.ndarray


def drawn(page):
    """Walk a page's content with its own matrices (ISO 32000-1, 8.3.4)."""
    from pypdf.generic import ContentStream

    matrix, stack, at = np.eye(3), [], None
    along = at_word = np.zeros(2)
    steps, words = [], []

    def to_page(x, y):
        return (np.array([x, y, 1.0]) @ matrix)[:2]

    for operands, operator in ContentStream(page.get_contents(), page.pdf).operations:
        if operator == b"q":
            stack.append(matrix)
        elif operator == b"Q":
            matrix = stack.pop()
        elif operator == b"cm":
            a, b, c, d, e, f = map(float, operands)
            matrix = np.array([[a, b, 0], [c, d, 0], [e, f, 1]]) @ matrix
        elif operator in (b"m", b"l"):
            point = to_page(*map(float, operands))
            if operator == b"l":
                steps.append((at, point))
            at = point
        elif operator == b"Tm":
            along, at_word = np.array(operands[:2], float), np.array(operands[4:], float)
            words.append(to_page(*at_word))
        elif operator == b"Td":  # Chromium sets its letters one by one, in a line
            at_word = at_word + float(operands[0]) * along
            words.append(to_page(*at_word))
    return Drawn(np.array(steps).reshape(-1, 2, 2) * MM, np.array(words).reshape(-1, 2) * MM)


def lines_mm(page):
    """Return every straight step drawn on a page, (N, 2, 2) in millimetres, y up from the lower edge."""
    return drawn(page).steps


def level_mm(page):
    """Return the lengths of the level lines of a page, rounded to 0.01 mm."""
    steps = lines_mm(page)
    level = np.abs(steps[:, 0, 1] - steps[:, 1, 1]) < 0.01
    return np.round(np.abs(steps[level, 0, 0] - steps[level, 1, 0]), 2)


def size_mm(page):
    return float(page.mediabox.width) * MM, float(page.mediabox.height) * MM


def all_within(page, *, margin_mm=10.0, within_mm=0.6):
    """Tell whether nothing is drawn into the paper's margins, where it would be cut off."""
    seen, (width, height) = drawn(page), size_mm(page)
    points = np.concatenate([seen.steps.reshape(-1, 2), seen.words])
    low = margin_mm - within_mm
    return bool(((points >= low) & (points <= np.array([width, height]) - low)).all())
