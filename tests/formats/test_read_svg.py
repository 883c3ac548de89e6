import pytest
from export_plans import orchard

from stitchpath.errors import FileError
from stitchpath.formats.read_svg import read_svg
from stitchpath.formats.sewing_svg import sewing_svg

GOOD = (
    '<?xml version="1.0" encoding="utf-8"?>\n<svg xmlns="http://www.w3.org/2000/svg" '
    'width="10mm" height="20mm" viewBox="0 0 10 20">\n<path d="M 1,2 L 3,4 5.5,6" fill="none"/>\n</svg>\n'
)


def read(tmp_path, text):
    (tmp_path / "a.svg").write_text(text, encoding="utf-8")
    return read_svg(tmp_path / "a.svg")


def test_the_good_one(tmp_path):
    (points,) = read(tmp_path, GOOD)
    assert points.tolist() == [[1, 2], [3, 4], [5.5, 6]]


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("</svg>", "<text>7</text></svg>", ":4: <text>"),
        ("</svg>", "<g><path d='M 0,0 L 1,1'/></g></svg>", "<g>"),
        ("</svg>", "<!-- note --></svg>", "a comment"),
        ("</svg>", "<?go?></svg>", "a processing instruction"),
        ("</svg>", "<![CDATA[]]></svg>", "CDATA"),
        ("</svg>", "seven</svg>", "text stands here"),
        ("</svg>", '<path xmlns="" d="M 0,0 L 1,1"/></svg>', "<path>"),
        ("/>", "><path d='M 0,0 L 1,1'/></path>", "<path>"),
        ("<svg", "<!DOCTYPE svg [<!ENTITY a 'b'>]><svg", "a document type"),
        ("<svg", "<?xml-stylesheet href='a.css'?><svg", "a processing instruction"),
        ('fill="none"', 'transform="scale(2)"', '"transform"'),
        ('fill="none"', 'style="display:none"', '"style"'),
        ('viewBox="0 0 10 20"', 'viewBox="0 0 20 40"', "true size"),
        ('width="10mm"', 'width="10"', "true size"),
        ('width="10mm"', "", "true size"),
        ("viewBox", "preserveAspectRatio='none' viewBox", '"preserveAspectRatio"'),
        ("M 1,2", "m 1,2", "unbroken"),
        ("M 1,2 L 3,4 5.5,6", "M 1,2 L 3,4 M 5,6 L 7,8", "unbroken"),
        ("5.5,6", "5.5,6 Z", "unbroken"),
        ("L 3,4", "C 3,4", "unbroken"),
        ("5.5,6", "5.5,nan", "unbroken"),
        ("5.5,6", "5.5", "unbroken"),
        ("M 1,2 L 3,4 5.5,6", "", "unbroken"),
        ("5.5,6", "11,6", "leaves the page"),
        ("</svg>", "", "no SVG"),
        ("<svg", "<", "no SVG"),
        ("svg", "html", "<html>"),
    ],
)
def test_refuses_anything_else(tmp_path, old, new, words):
    with pytest.raises(FileError, match=words):
        read(tmp_path, GOOD.replace(old, new))


def test_an_entity_bomb_is_refused_before_it_expands(tmp_path):
    layers = "".join(f'<!ENTITY e{n + 1} "{f"&e{n};" * 10}">' for n in range(9))
    bomb = GOOD.replace("<svg", f'<!DOCTYPE svg [<!ENTITY e0 "x">{layers}]><svg').replace("none", "&e9;")
    with pytest.raises(FileError, match="a document type"):
        read(tmp_path, bomb)


def test_neither_missing_nor_empty(tmp_path):
    with pytest.raises(FileError, match="no such file"):
        read_svg(tmp_path / "none.svg")
    with pytest.raises(FileError, match="no SVG"):
        read(tmp_path, "")


def test_every_line_of_ours_is_needed(tmp_path):
    text = sewing_svg(orchard(rows=1, columns=1))
    assert len(read(tmp_path, text)) == 2
    with pytest.raises(FileError):
        read(tmp_path, text.replace("</svg>", '<circle r="1" /></svg>'))
