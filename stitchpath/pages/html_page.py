"""Pages of HTML that need nothing else: no outside request, no script, printed as they are seen.

Each is a template beside this module that extends ``page.html``. All that is filled in is escaped, and loses
what no page can show, unless `drawn` says that it is a picture of ours. Pictures are drawn into a page whole,
each with a geometry of its own: what several pictures share through ``<use>`` is lost in print.
"""

from functools import cache
from typing import TYPE_CHECKING, Any

from stitchpath.formats.numbers import fixed
from stitchpath.formats.svg_text import printable
from stitchpath.pages import cautions
from stitchpath.pages.paper import Paper

if TYPE_CHECKING:
    from jinja2 import Environment
    from markupsafe import Markup

__all__ = ["counted", "drawn", "html_page", "page_templates"]


def html_page(template: str, *, title: str, paper: Paper, **more: object) -> str:
    """Return a whole document.

    Parameters
    ----------
    template
        The file's name.
    title
        What the document is called.
    paper
        What it is printed on.
    more
        What the template shows.

    Examples
    --------
    >>> from stitchpath.pages.paper import paper_of
    >>> page = html_page("tiles.html", title="pear & leaf", paper=paper_of("A4"), map=None, sheets=())
    >>> "<title>pear &amp; leaf</title>" in page
    True
    """
    return page_templates().get_template(template).render(title=title, paper=paper, **more)


def drawn(svg: str) -> "Markup":
    """Return a picture made by `stitchpath.formats.svg_text`, which has escaped what is in it.

    Examples
    --------
    >>> drawn("<svg/>"), drawn("")
    (Markup('<svg/>'), Markup(''))
    """
    from markupsafe import Markup

    return Markup(svg)  # noqa: S704


@cache
def page_templates() -> "Environment":
    """Return the templates of all pages."""
    from jinja2 import Environment, PackageLoader, StrictUndefined

    templates = Environment(
        loader=PackageLoader("stitchpath", "pages"),
        autoescape=True,
        finalize=_shown,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    templates.filters.update(counted=counted, fixed=fixed)
    templates.globals.update(cautions=cautions)
    return templates


def counted(count: int, word: str = "") -> str:
    """Say how many there are of something.

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
    >>> counted(0, "sheet"), counted(1, "sheet"), counted(1200, "sheet"), counted(1200)
    ('0 sheets', '1 sheet', '1,200 sheets', '1,200')
    """
    return f"{count:,} {word}{'' if count == 1 else 's'}" if word else f"{count:,}"


def _shown(value: Any) -> Any:
    """Return text without what a page cannot show; markup is ours."""
    return printable(value) if isinstance(value, str) and not hasattr(value, "__html__") else value
