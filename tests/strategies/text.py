"""Names as somebody may write them, TOML, and what may happen to a file."""

from dataclasses import dataclass

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


@dataclass(frozen=True)
class Damage:
    """Bytes that are lost at a place of a file, and others that are put there."""

    at: int
    lost: int
    put: bytes

    def done_to(self, good):
        """Return a file's bytes as they are then."""
        at = self.at % (len(good) + 1)
        return good[:at] + self.put + good[at + self.lost :]


def damages():
    """What may happen to the bytes of a file: some are lost, some come in, or all of both."""
    signs = st.sampled_from(
        [b"\xff", b"\x00", b'"', b"[", b"{", b"}", b",", b"=", b"\n", b"1e999", b"-", b"nan"]
    )
    put = st.lists(signs, max_size=3).map(b"".join) | st.binary(max_size=6)
    return st.builds(Damage, st.integers(0, 10**6), st.sampled_from([0, 1, 2, 7, 10**6]), put)
