"""What an arranger decided in a file by writing it: other names, another octave.

Where another player's staff has the same melody, but notes or chords under other names
than the part for that player's book would have them, or all of it octaves away, that is
a decision for the book.  Where most names differ the staff is in another key, and says
nothing of single notes.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from typing import Final

from attrs import frozen

from .._doors import door
from .._printed import count
from ..chords.respell import deciding_chord
from ..instruments.books import STANDARD_BOOKS, Book
from ..instruments.clefs import BASS_CLEF
from ..interval import UNISON
from ..leadsheet.doublings import Doubling
from ..leadsheet.findings import Finding
from ..leadsheet.model import Bar, LeadSheet, Note
from ..parts.make import make_parts
from ..parts.model import Part, Respell, RespellNote
from ..pitch import Pitch
from .model import Decisions
from .reading import decisions_from

__all__ = ("ByHand", "decided_by_hand")

_LEAVES: Final = 'players_staves="left out" takes none of it'
_Place = tuple[int, Fraction]
_Wish = Respell | RespellNote


_NOTHING: Final = Decisions()


@frozen(order=False)
class ByHand:
    """What players' staves decide, and what is told of it."""

    decisions: Decisions = _NOTHING
    findings: tuple[Finding, ...] = ()


@door
def decided_by_hand(
    sheet: LeadSheet,
    doublings: Iterable[Doubling],
    /,
    *,
    books: Sequence[Book] = STANDARD_BOOKS,
) -> ByHand:
    """What players' staves decide for their books, beside what would be decided anyway.

    The first staff of a book speaks for it.

    Args:
        sheet: the tune.
        doublings: the staves that have its melody again, as the reading found them.
        books: the books that players may read.

    >>> decided_by_hand(LeadSheet(title="Rope", bars=()), ()).decisions.each
    ()
    """
    asked: dict[str, list[str]] = {"respell": [], "respell-note": [], "octaves": []}
    findings = []
    served: set[Book] = set()
    for doubling in doublings:
        book = next((book for book in books if _reads(doubling, book)), None)
        if book is None or book in served:
            continue
        served.add(book)
        found = _Staff(sheet, doubling, book)
        wishes = found.wishes()
        octaves = found.octaves()
        for wish in wishes:
            root = isinstance(wish, Respell)
            key = "respell" if root else "respell-note"
            name = wish.root if isinstance(wish, Respell) else wish.name
            asked[key].append(f"{book.ascii_name} {wish.bar} {wish.beat} {name}")
        if octaves:
            asked["octaves"].append(f"{book.ascii_name} = {octaves}")
        if wishes or octaves:
            findings.append(_told(doubling, book, wishes, octaves))
    return ByHand(
        decisions_from({key: held for key, held in asked.items() if held}),
        tuple(findings),
    )


def _reads(doubling: Doubling, book: Book) -> bool:
    """Whether a player reads a book; the one at concert pitch in treble clef is the
    chart's own."""
    if doubling.low_clef != (book.clef.sign == BASS_CLEF.sign):
        return False
    if book.transposition == UNISON and not doubling.low_clef:
        return False
    return (doubling.transposition - book.transposition).fifths == 0


class _Staff:
    """A player's staff, held against the part for its book."""

    def __init__(self, sheet: LeadSheet, doubling: Doubling, book: Book) -> None:
        self.sheet, self.book = sheet, book
        self.notes = {(each.bar, each.onset): each.pitch for each in doubling.notes}
        self.roots = {(each.bar, each.onset): each.root for each in doubling.roots}
        self.plain = self._part(())

    def _part(self, wishes: Sequence[_Wish]) -> Part:
        (part,) = make_parts(
            self.sheet,
            books=(self.book,),
            solo_page=False,
            respell=wishes,
            octaves={self.book.name: 0},
        )
        return part

    def octaves(self) -> int:
        """How many octaves the staff is from the plain part: 0 if not all along."""
        steps = {
            self.notes[place].midi - pitch.midi
            for place, pitch in _struck(self.plain)
            if place in self.notes
        }
        (step,) = steps if len(steps) == 1 else (0,)
        return step // 12 if step % 12 == 0 else 0

    def wishes(self) -> tuple[_Wish, ...]:
        """The names that the part is to have.

        A wish for a chord takes its pair and its melody along: what the staff has
        otherwise is wished for too.
        """
        wishes: list[_Wish] = []
        part = self.plain
        for _ in range(3):
            notes, compared = self._other_names(part)
            roots = list(self._other_roots(part))
            if not wishes and 2 * len(notes) > compared:
                return ()  # another key
            if not (notes or roots):
                break
            # chords first: their notes may come along
            wishes += roots or notes
            part = self._part(wishes)
        else:
            wishes += self._other_names(part)[0]
        return tuple(wishes)

    def _other_names(self, part: Part) -> tuple[list[_Wish], int]:
        """The notes that the staff has under other names, and how many it has."""
        found: list[_Wish] = []
        compared = 0
        beats = _Beats(part)
        for place, pitch in _struck(part):
            written = self.notes.get(place)
            if written is None or written.pitch_class != pitch.pitch_class:
                continue
            compared += 1
            if written.name != pitch.name:
                bar, beat = place[0], beats(place)
                found.append(RespellNote(bar, beat, written.name, self.book.name))
        return found, compared

    def _other_roots(self, part: Part) -> Iterator[_Wish]:
        beats = _Beats(part)
        for bar in part.bars:
            for placed in bar.bar.chords:
                place = bar.bar.number, placed.onset
                root, chord = self.roots.get(place), deciding_chord(placed.symbol)
                if root is None or chord is None or root == chord.root:
                    continue
                if root.pitch_class == chord.root.pitch_class:
                    yield Respell(place[0], beats(place), root, self.book.name)


class _Beats:
    """Which beat a place of a part is."""

    def __init__(self, part: Part) -> None:
        self.bars: dict[int, Bar] = {bar.bar.number: bar.bar for bar in part.bars}

    def __call__(self, place: _Place) -> Fraction:
        return self.bars[place[0]].beat_of(place[1])


def _struck(part: Part) -> Iterator[tuple[_Place, Pitch]]:
    """The notes of a part that are struck, the highest of each chord."""
    for bar in part.bars:
        for event in bar.bar.melody:
            if (
                isinstance(event, Note)
                and not event.tied_from_previous
                and not event.grace
            ):
                yield (bar.bar.number, event.onset), event.pitch


def _told(
    doubling: Doubling, book: Book, wishes: Sequence[_Wish], octaves: int
) -> Finding:
    roots = sum(isinstance(wish, Respell) for wish in wishes)
    notes = len(wishes) - roots
    said = [
        f"the name{'s' * (number > 1)} of {count(number, what)}"
        for number, what in ((roots, "chord"), (notes, "note"))
        if number
    ]
    if octaves:
        way = "up" if octaves > 0 else "down"
        said.append(f"{count(abs(octaves), 'octave')} {way}")
    return Finding(
        rule="by-hand",
        severity="note",
        message=f"{book.name} has {' and '.join(said)} from {doubling.name}'s staff",
        advice=_LEAVES,
    )
