"""Words of TEXT and MTEXT without their codes, in every encoding."""

from __future__ import annotations

import pytest

from floorplan.foreign.texts import codec_of, decoded, plain


@pytest.mark.parametrize(
    ("raw", "words"),
    [
        ("%%uPATIO%%u", "PATIO"),
        ("%%c12 post", "Ø12 post"),
        ("45%%d", "45°"),
        ("%%p1/8", "±1/8"),
        ("100%%%", "100%"),
        ("  two   words ", "two words"),
    ],
)
def test_codes_of_text(raw: str, words: str) -> None:
    """Percent codes: underline, diameter, degrees, plus or minus."""
    assert plain(raw) == words


@pytest.mark.parametrize(
    ("raw", "words"),
    [
        (r"Rear\Ppatio", "Rear patio"),
        (r"{\fArial|b0|i0|c0|p34;Pool} deck", "Pool deck"),
        (r"\A1;\H2.5;\W0.8;big", "big"),
        (r"{\C1;red} {\L under\l}", "red under"),
        (r"4 \S1/2; in", "4 1/2 in"),
        (r"4 \S1#2; in", "4 1/2 in"),
        (r"back\\slash \{x\}", r"back\slash {x}"),
        (r"hard\~space", "hard space"),
    ],
)
def test_codes_of_mtext(raw: str, words: str) -> None:
    """Paragraphs, fonts, heights, colours, stacked fractions, escapes."""
    assert plain(raw, many_lines=True) == words


def test_encodings() -> None:
    """UTF-8 first, then the code page; unicode escapes; bad bytes cost themselves only."""
    assert decoded("Größe".encode(), "cp1252") == "Größe"
    assert decoded("Größe".encode("cp1252"), "cp1252") == "Größe"
    assert decoded("площадь".encode("cp1251"), codec_of("ANSI_1251")) == "площадь"
    assert decoded("面積".encode("cp932"), codec_of("ANSI_932")) == "面積"
    assert decoded(rb"caf\U+00E9", "cp1252") == "café"
    assert decoded(b"\x81\x8d\x9d", "cp1252") == "\ufffd" * 3
    assert codec_of("no such page") == "cp1252"


def test_control_characters_do_not_pass() -> None:
    """Nothing that could steer a terminal comes through."""
    assert decoded(b"a\x1b[31mb\x07", "cp1252") == "a[31mb"
    assert len(plain("x" * 10_000)) == 200
