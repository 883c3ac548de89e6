"""A page of HTML that stands by itself: no outside request, no script, printed as it is seen.

Everything that is written into it is escaped here. Pictures are drawn into it whole, each with a geometry of
its own: what several pictures share through ``<use>`` is lost in print.
"""

from collections.abc import Iterable, Sequence
from html import escape

from stitchpath.formats.numbers import fixed
from stitchpath.formats.svg_text import printable
from stitchpath.pages.paper import Paper

__all__ = ["captioned", "heading", "html_page", "listed", "paragraph", "section", "table"]

_LOOK = """
* { box-sizing: border-box; }
html { color: #000; background: #fff; }
body { margin: 0 auto; font: 10.5pt/1.4 system-ui, "Liberation Sans", Arial, Helvetica, sans-serif; }
h1 { font-size: 17pt; line-height: 1.2; margin: 0 0 3mm; overflow-wrap: anywhere; }
h2 { font-size: 13pt; margin: 6mm 0 2mm; break-after: avoid; }
h3 { font-size: 11pt; margin: 4mm 0 1mm; break-after: avoid; }
p, ul, ol { margin: 0 0 2mm; }
p.facts { break-after: avoid; break-inside: avoid; }
ul { padding-left: 6mm; break-inside: avoid; }
ol { padding-left: 4em; }
li { margin-bottom: 1mm; break-inside: avoid; }
p, li, td { overflow-wrap: anywhere; }
table { border-collapse: collapse; margin: 0 0 3mm; max-width: 100%; }
th, td { border-bottom: 0.2mm solid #767676; padding: 0.8mm 3mm 0.8mm 0; text-align: left;
  vertical-align: top; }
th { font-weight: 600; }
td.number, th.number { text-align: right; font-variant-numeric: tabular-nums; }
tr, figure, .kept { break-inside: avoid; }
table:not(:has(tr:nth-child(20))) { break-inside: avoid; }
tr:has(+ .joined) { break-after: avoid; }
tr:has(+ .joined) td { border-bottom: 0; }
.joined td:first-child { padding-left: 5mm; }
thead { display: table-header-group; }
figure { margin: 0 0 3mm; }
figcaption { margin: 0 0 1mm; }
svg { display: block; max-width: none; }
.whole td.number { white-space: nowrap; }
.side figure { display: inline-block; vertical-align: top; margin-right: 4mm; }
.new { break-before: page; }
.caution { border: 0.5mm solid #000; padding: 3mm 4mm 1mm; break-inside: avoid; margin: 4mm 0.3mm; }
.caution h2 { margin-top: 0; }
"""

_PAPER = """
@page {{ size: {width}mm {height}mm; margin: {margin}mm; }}
body {{ width: {text}mm; }}
.page {{ break-before: page; break-inside: avoid; }}
@media screen {{
  body {{ padding: 6mm 0; }}
  .page {{ outline: 0.2mm solid #767676; margin-top: 6mm; }}
}}
"""

_POLICY = "default-src 'none'; style-src 'unsafe-inline'"


def html_page(title: str, parts: Iterable[str], *, paper: Paper) -> str:
    """Return a whole document.

    Parameters
    ----------
    title
        What it is called; escaped.
    parts
        HTML, as the other functions here return it. A section of class ``page`` begins a sheet of paper
        and must fit between its margins: what is wider makes a browser print all pages smaller.
    paper
        What it is printed on.

    Examples
    --------
    >>> from stitchpath.pages.paper import paper_of
    >>> "<title>pear &amp; leaf</title>" in html_page("pear & leaf", [], paper=paper_of("A4"))
    True
    """
    sizes = {
        "width": fixed(paper.width_mm, 1),
        "height": fixed(paper.height_mm, 1),
        "margin": fixed(paper.margin_mm, 1),
        "text": fixed(paper.room_mm[0], 1),
    }
    style = _LOOK + _PAPER.format(**sizes)
    head = (
        '<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{_POLICY}">\n'
        '<meta name="viewport" content="width=device-width">\n'
        f"<title>{_safe(title)}</title>\n<style>{style}</style>"
    )
    body = "\n".join(parts)
    return f'<!DOCTYPE html>\n<html lang="en">\n<head>\n{head}\n</head>\n<body>\n{body}\n</body>\n</html>\n'


def heading(level: int, words: str, *, new_page: bool = False) -> str:
    """Return a heading.

    Parameters
    ----------
    level
        1 the highest.
    words
        As they are read; signs of HTML are written out.
    new_page
        Whether a printed page begins with it.

    Returns
    -------
    str
        An element.

    Examples
    --------
    >>> heading(2, "a < b")
    '<h2>a &lt; b</h2>'
    """
    begins = ' class="new"' if new_page else ""
    return f"<h{level}{begins}>{_safe(words)}</h{level}>"


def paragraph(words: str, *, kind: str = "") -> str:
    """Return a paragraph, of a class of the page's style if named.

    Examples
    --------
    >>> paragraph("a & b")
    '<p>a &amp; b</p>'
    """
    return f'<p class="{_safe(kind)}">{_safe(words)}</p>' if kind else f"<p>{_safe(words)}</p>"


def listed(sentences: Iterable[str], *, first: int | None = None) -> str:
    """Return a list, numbered from `first` on if that is given.

    Examples
    --------
    >>> listed([]), listed(["turn"], first=7)
    ('<ul></ul>', '<ol start="7"><li>turn</li></ol>')
    """
    tag, start = ("ul", "") if first is None else ("ol", f' start="{first}"')
    return f"<{tag}{start}>{''.join(f'<li>{_safe(words)}</li>' for words in sentences)}</{tag}>"


def table(
    head: Sequence[str],
    rows: Iterable[Sequence[str]],
    *,
    numbers: frozenset[int] = frozenset(),
    joined: str = "",
) -> str:
    """Return a table; columns `numbers` stand to the right. An empty head has no row.

    A row whose first cell is `joined` belongs to the one above it.

    Parameters
    ----------
    head
        A cell each; empty: no row of heads.
    rows
        As many cells each.
    numbers
        Columns, counted from 0.
    joined
        What the first cell of a row says that belongs to the one above it; empty: none does.

    Returns
    -------
    str
        An element.

    Examples
    --------
    >>> table((), [("paths", "7")], numbers=frozenset({1}))
    '<table><tbody><tr><td>paths</td><td class="number">7</td></tr></tbody></table>'
    """

    def row(cells: Sequence[str], tag: str) -> str:
        kinds = [' class="number"' if at in numbers else "" for at in range(len(cells))]
        told = (f"<{tag}{kind}>{_safe(cell)}</{tag}>" for kind, cell in zip(kinds, cells, strict=True))
        under = ' class="joined"' if joined and cells[0] == joined else ""
        return f"<tr{under}>{''.join(told)}</tr>"

    top = f"<thead>{row(head, 'th')}</thead>" if head else ""
    return f"<table>{top}<tbody>{''.join(row(cells, 'td') for cells in rows)}</tbody></table>"


def captioned(picture: str, words: str, *, width_mm: float) -> str:
    """Return a picture with words below it that are no wider.

    Parameters
    ----------
    picture
        An element.
    words
        Below it; signs of HTML are written out.
    width_mm
        Of the words.

    Returns
    -------
    str
        An element.

    Examples
    --------
    >>> captioned("<svg></svg>", "a < b", width_mm=90)
    '<figure style="width: 90.0mm"><svg></svg><figcaption>a &lt; b</figcaption></figure>'
    """
    style = f' style="width: {fixed(width_mm, 1)}mm"'
    return f"<figure{style}>{picture}<figcaption>{_safe(words)}</figcaption></figure>"


def section(parts: Iterable[str], *, kind: str) -> str:
    r"""Return parts together, of a class of the page's style.

    Examples
    --------
    >>> print(section(["<p>Heed this.</p>"], kind="caution"))
    <section class="caution">
    <p>Heed this.</p>
    </section>
    >>> section([], kind="page")
    '<section class="page">\n</section>'
    """
    return "\n".join([f'<section class="{_safe(kind)}">', *parts, "</section>"])


def _safe(words: str) -> str:
    return escape(printable(words))
