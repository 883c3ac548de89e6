"""Names as somebody may write them, and TOML."""

from hypothesis import strategies as st

HOSTILE = (
    "=1+1", "+1", "-1", "@a", '"', '""', "a,b", "a\r\nb", "\t", "</script>", "<!--", "]]>", "&amp;", "../a",
    "CON", "a\u202eb", "e\u0301", "\ufeff", "\U0001f9f5", "nan", "null",
)  # fmt: skip
"""What begins a formula, ends a cell, a tag or a comment, leaves a folder, turns the direction of reading, or
is two characters that look like one."""


def names():
    """Names of lines, threads and motifs: hostile ones, and any text without a NUL."""
    return st.sampled_from(HOSTILE) | st.text(max_size=12).filter(lambda text: "\x00" not in text)


def stage_names():
    """Every name that a stage may have, as one pattern."""
    return st.from_regex(r"[A-Za-z0-9][A-Za-z0-9 _-]{0,12}", fullmatch=True)


def toml_values():
    """Lists of numbers, texts without control characters, and lists of these."""
    texts = st.text(st.characters(codec="utf-8", exclude_categories=["Cs", "Cc"]), max_size=8)
    value = st.recursive(st.integers(0, 9) | texts, lambda inner: st.lists(inner, max_size=3))
    return st.lists(value, max_size=6)


def broken_toml():
    """Text of TOML's own signs, which is hardly ever TOML."""
    return st.text("\"'[]{}=.,#\n\\a1 ", max_size=60)
