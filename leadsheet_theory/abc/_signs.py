"""Decorations of ABC and the marks, dynamics and signs of form that they are.

Source: The abc music standard 2.1, section 4.14, unless a row says otherwise.
"""

from __future__ import annotations

from typing import Final, Literal

from attrs import frozen

__all__ = ("DECORATIONS", "LETTERS", "Decoration", "name_of_mark")


@frozen(order=False)
class Decoration:
    """What a decoration is: a mark on a note by its MusicXML 4.0 name, dynamics, a
    sign of form, words over the staff, or something that a chart does not hold."""

    kind: Literal["mark", "dynamics", "form", "words", "unheld"]
    text: str
    remark: str = ""


def _table() -> dict[str, Decoration]:
    rows: dict[str, Decoration] = {}
    # written in ABC: the mark; the first name of each mark is the one written
    for name, mark in (
        ("trill", "trill-mark"), ("lowermordent", "mordent"), ("mordent", "mordent"),
        ("uppermordent", "inverted-mordent"), ("pralltriller", "inverted-mordent"),
        ("turn", "turn"), ("invertedturn", "inverted-turn"),
        ("arpeggio", "arpeggiate"), ("accent", "accent"), (">", "accent"),
        ("emphasis", "accent"), ("fermata", "fermata"), ("tenuto", "tenuto"),
        ("plus", "stopped"), ("+", "stopped"), ("snap", "snap-pizzicato"),
        ("slide", "scoop"), ("wedge", "staccatissimo"), ("upbow", "up-bow"),
        ("downbow", "down-bow"), ("open", "open-string"), ("thumb", "thumb-position"),
        ("breath", "breath-mark"), ("staccato", "staccato"),
        # in later drafts of the standard and in files; from memory
        ("marcato", "strong-accent"), ("^", "strong-accent"),
    ):  # fmt: skip
        rows[name] = Decoration("mark", mark)
    for name, mark in (
        ("invertedfermata", "fermata"), ("turnx", "turn"),
        ("invertedturnx", "inverted-turn"),
    ):  # fmt: skip
        rows[name] = Decoration("mark", mark, f"!{name}! is carried as a {mark}")
    for name in ["pppp", "ppp", "pp", "p", "mp", "mf", "f", "ff", "fff", "ffff", "sfz"]:
        rows[name] = Decoration("dynamics", name)
    for name, sign in (
        ("segno", "segno"), ("coda", "coda"), ("fine", "fine"), ("D.S.", "D.S."),
        ("D.C.", "D.C."), ("dacoda", "dacoda"), ("dacapo", "D.C."),
        # in later drafts of the standard, from memory
        ("D.C.alcoda", "D.C. al Coda"), ("D.C.alfine", "D.C. al Fine"),
        ("D.S.alcoda", "D.S. al Coda"), ("D.S.alfine", "D.S. al Fine"),
    ):  # fmt: skip
        rows[name] = Decoration("form", sign)
    rows["roll"] = Decoration("words", "~")
    hairpin = "a hairpin is carried as the word {}"
    for names, words in (
        (("crescendo(", "<("), "cresc."),
        (("diminuendo(", ">("), "dim."),
    ):
        for name in names:
            rows[name] = Decoration("words", words, hairpin.format(words))
    for name in ("crescendo)", "<)", "diminuendo)", ">)"):
        rows[name] = Decoration("unheld", "the end of a hairpin is not carried")
    for name in "012345":
        rows[name] = Decoration("unheld", "fingerings are not carried")
    for name in ("shortphrase", "mediumphrase", "longphrase"):
        rows[name] = Decoration("unheld", "phrase marks are not carried")
    # MusicXML 4.0 has these, ABC 2.1 has not; a name unknown to a program is passed
    # over there (4.14), so nothing is lost by writing them
    for mark in (
        "doit", "falloff", "plop", "detached-legato", "spiccato", "caesura", "stress",
        "unstress", "soft-accent", "delayed-turn", "delayed-inverted-turn",
        "vertical-turn", "inverted-vertical-turn", "shake", "schleifer", "haydn",
        "harmonic", "double-tongue", "triple-tongue", "heel", "toe", "fingernails",
        "brass-bend", "flip", "smear", "half-muted", "golpe", "scoop",
    ):  # fmt: skip
        rows[mark] = Decoration("mark", mark)
    rows["open-valve"] = Decoration("mark", "open")
    for name in [
        "sf",
        "fz",
        "rf",
        "rfz",
        "fp",
        "sfp",
        "sfpp",
        "sffz",
        "pf",
        "n",
        "ppppp",
        "pppppp",
        "fffff",
        "ffffff",
    ]:
        rows[name] = Decoration("dynamics", name)
    return rows


DECORATIONS: Final = _table()

# 4.14: the letters that stand for a decoration unless U: says otherwise
LETTERS: Final = {
    ".": "!staccato!", "~": "!roll!", "H": "!fermata!", "L": "!accent!",
    "M": "!lowermordent!", "O": "!coda!", "P": "!uppermordent!", "S": "!segno!",
    "T": "!trill!", "u": "!upbow!", "v": "!downbow!",
}  # fmt: skip

_STANDARD: Final = {
    row.text: name for name, row in reversed(DECORATIONS.items()) if row.kind == "mark"
}


def name_of_mark(mark: str) -> str:
    """The decoration that a mark is written as, or ``""`` if there is none."""
    return _STANDARD.get(mark, "")
