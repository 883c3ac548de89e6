"""The only module that knows svgwrite, which has no types: plain marks in, SVG text out."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from stitchpath.formats.numbers import fixed

__all__ = ["Mark", "inline_svg", "printable", "svg_text", "true_size_svg"]

Tag = Literal["path", "rect", "circle", "line", "text"]


@dataclass(frozen=True, slots=True)
class Mark:
    """One element of an SVG, as data: numbers in the attributes are already text."""

    tag: Tag
    attributes: Mapping[str, str] = field(default_factory=dict)
    text: str = ""


def printable(text: str) -> str:
    r"""Return text without what XML cannot hold or a page cannot show.

    Examples
    --------
    >>> printable("pear\x00\n leaf"), printable("")
    ('pear leaf', '')
    """
    return "".join(letter for letter in text if letter.isprintable())


def svg_text(marks: Iterable[Mark], *, size_mm: tuple[str, str], view_box: str, title: str = "") -> str:
    """Return an SVG as text: exactly these marks, in order, and nothing else.

    Parameters
    ----------
    marks
        What stands in it.
    size_mm
        Width and height in millimetres, without the unit.
    view_box
        The four numbers of the view box.
    title
        What the document is called; it is not drawn. Empty: no title.

    Examples
    --------
    >>> print(svg_text([Mark("path", {"d": "M 0,0 L 1,0"})], size_mm=("1", "2"), view_box="0 0 1 2"), end="")
    <?xml version="1.0" encoding="utf-8"?>
    <svg baseProfile="full" height="2mm" version="1.1" viewBox="0 0 1 2" width="1mm" xmlns="...">
    <path d="M 0,0 L 1,0" />
    </svg>
    """
    inline = inline_svg(marks, size_mm=size_mm, view_box=view_box, title=title)
    return f'<?xml version="1.0" encoding="utf-8"?>\n{inline}\n'


def inline_svg(marks: Iterable[Mark], *, size_mm: tuple[str, str], view_box: str, title: str = "") -> str:
    """Return an SVG to stand in a page of HTML: the element alone; see `svg_text`.

    Parameters
    ----------
    marks
        What is drawn, the lowest first.
    size_mm
        Width and height, written out.
    view_box
        What of the drawing is seen.
    title
        For those who cannot see it.

    Returns
    -------
    str
        An element.

    Examples
    --------
    >>> print(inline_svg([], size_mm=("1", "2"), view_box="0 0 1 2"))
    <svg baseProfile="full" height="2mm" version="1.1" viewBox="0 0 1 2" width="1mm" xmlns="...">
    </svg>
    """
    import svgwrite

    width, height = size_mm
    page = svgwrite.Drawing(size=(f"{width}mm", f"{height}mm"), viewBox=view_box, debug=False)
    page.elements.clear()  # an empty <defs> that svgwrite puts in
    if title:
        page.set_desc(title=printable(title))
    for mark in marks:
        page.add(_element(page, mark))
    tree = page.get_xml()
    for unused in ("xmlns:ev", "xmlns:xlink"):
        del tree.attrib[unused]
    tree.text = "\n"
    for child in tree:
        child.tail = "\n"
    return _as_text(tree)


def true_size_svg(marks: Iterable[Mark], size_mm: tuple[float, float], *, title: str) -> str:
    """Return an SVG element at true size, (0, 0) its upper left corner; see `inline_svg`.

    Parameters
    ----------
    marks
        What is drawn, the lowest first, in millimetres.
    size_mm
        Width and height.
    title
        For those who cannot see it.

    Returns
    -------
    str
        An element.

    Examples
    --------
    >>> print(true_size_svg([], (1, 2), title="Leaf"))
    <svg ... height="2.000mm" version="1.1" viewBox="0 0 1.000 2.000" width="1.000mm" xmlns="...">
    <title>Leaf</title>
    </svg>
    """
    width, height = (fixed(size) for size in size_mm)
    return inline_svg(marks, size_mm=(width, height), view_box=f"0 0 {width} {height}", title=title)


def _element(page: Any, mark: Mark) -> Any:
    makers = {
        "path": page.path, "rect": page.rect, "circle": page.circle, "line": page.line,
        "text": lambda: page.text(printable(mark.text)),
    }  # fmt: skip
    element = makers[mark.tag]()
    attributes = dict(mark.attributes)
    if "d" in attributes:  # svgwrite keeps it as commands and overwrites the attribute
        element.push(attributes.pop("d"))
    element.attribs.update(attributes)
    return element


def _as_text(tree: Any) -> str:
    from xml.etree.ElementTree import tostring

    return tostring(tree, encoding="unicode")
