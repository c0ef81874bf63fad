"""How many names come back when the spelling of real scores is hidden.

    python tests/benchmarks/spelling_accuracy.py FOLDER… [--corpus chorales]

FOLDER holds lead sheets (.mxl, .musicxml, .xml).  For each task it prints the share
of names found again beside two others in the same run: a fixed window (twelve
consecutive places on the line of fifths around the key) and stage one of ps13
(D. Meredith, "The ps13 pitch spelling algorithm", JNMR 35(2), 2006), written from
the paper; ps13 knows no key, so it is forgiven being a whole enharmonic step off.

The weights of the library were fitted on the lead sheets of even number (as listed
by name) and on every second chorale, so "held out" counts more than "fitted"; what
counts most are the lines "cross-validated": there each fifth of the sheets is spelled
with melody weights that are fitted on the others alone (``_fitting``), and roots with
no fitted weight at all, by idioms and links.  music21's own speller
(``pitch.simplifyMultipleEnharmonics``) runs beside, with the key where it is known.

Two things are counted apart: roots where the sheet leaves the name that a row of
``ROOT_IDIOMS`` gives, and notes that the sheet names otherwise than the chord above
them names its own root, third, fifth or seventh.
"""

from __future__ import annotations

import argparse
import gc
import time
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path

import music21.key as music21_key
import music21.pitch as music21_pitch
from _fitting import fitted, rows_of, using
from _spelled_scores import Score, Spelled, lead_sheet, score

from leadsheet_theory.errors import TheoryError
from leadsheet_theory.spelling import (
    _root_search,
    _weights,
    root_idioms,
    spell_chord_roots,
    spell_melody,
    spell_notes,
)
from leadsheet_theory.spelling.chord_tones import own_names

CORPORA = {
    "chorales": "bach",
    "mozart": "mozart",
    "haydn": "haydn",
    "beethoven": "beethoven",
    "monteverdi": "monteverdi",
    "schumann": "schumann_robert",
    "clara-schumann": "schumann_clara",
}
WINDOW_FIRST = -4  # ♭6 to ♯1 above the tonic of the major scale

# ── The peer: ps13, stage one (Meredith 2006, section 2) ─────────────────────────

MORPH_OF_CHROMA = (0, 1, 1, 2, 2, 3, 3, 4, 5, 5, 6, 6)
NATURALS = (0, 2, 4, 5, 7, 9, 11)
PLACES = (0, 2, 4, -1, 1, 3, 5)


def ps13_stage_one(midi: Sequence[int], before: int = 10, after: int = 42) -> list[int]:
    """Each note takes the letter that most tonics around it vote for."""
    sounds = [number % 12 for number in midi]
    start = MORPH_OF_CHROMA[sounds[0]]
    tonic_morph = [
        (start - MORPH_OF_CHROMA[(sounds[0] - tonic) % 12]) % 7 for tonic in range(12)
    ]
    letters = [
        [
            (MORPH_OF_CHROMA[(sound - tonic) % 12] + tonic_morph[tonic]) % 7
            for tonic in range(12)
        ]
        for sound in range(12)
    ]
    places = []
    for index, sound in enumerate(sounds):
        votes = [0] * 7
        for tonic in sounds[max(0, index - before) : index + after]:
            votes[letters[sound][tonic]] += 1
        letter = votes.index(max(votes))
        alter = (sound - NATURALS[letter] + 6) % 12 - 6
        places.append(PLACES[letter] + 7 * alter)
    return places


def window(sound: int, signature: int) -> int:
    """The name within twelve fixed places around the key."""
    first = signature + WINDOW_FIRST
    return first + (7 * sound - first) % 12


# ── Counting ─────────────────────────────────────────────────────────────────────


class Tally:
    """Names right and wrong, and what the wrong ones were."""

    def __init__(self) -> None:
        self.right = self.count = self.apart = 0
        self.errors: Counter[tuple[str, str]] = Counter()

    def add(self, true: int, found: int, signature: int, times: int = 1) -> None:
        self.count += times
        if true == found:
            self.right += times
        else:
            degree = DEGREES.get(true - signature, f"{true - signature:+d}")
            self.errors[degree, DEGREES.get(found - signature, "?")] += times

    def __str__(self) -> str:
        share = 100 * self.right / max(self.count, 1)
        said = f"{share:7.3f} %  ({self.count - self.right} of {self.count} wrong)"
        if not self.apart:
            return said
        kept = self.count - self.apart
        share = 100 * self.right / max(kept, 1)
        return f"{said}; {share:.3f} % without {self.apart} where the sheet departs"


_NUMBERS = {-1: "4", 0: "1", 1: "5", 2: "2", 3: "6", 4: "3", 5: "7"}
DEGREES = {
    place + 7 * alter: ("#" * alter if alter > 0 else "b" * -alter) + number
    for place, number in _NUMBERS.items()
    for alter in (-2, -1, 0, 1, 2)
}


def melody(scores: Iterable[Score]) -> dict[str, Tally]:
    """Key and chords known."""
    ours, fixed, peer = Tally(), Tally(), Tally()
    for one in scores:
        for note, place in zip(one.notes, by_music21(one), strict=True):
            signature = one.keys[note.heard.bar].signature
            peer.add(note.place, place, signature, note.printed)
        places = [
            pitch.fifths
            for pitch in spell_melody(
                [note.heard.midi for note in one.notes],
                key=[one.keys[note.heard.bar] for note in one.notes],
                bars=[note.heard.bar for note in one.notes],
                chords=[note.chord for note in one.notes],
            )
        ]
        for note, place in zip(one.notes, places, strict=True):
            signature = one.keys[note.heard.bar].signature
            ours.add(note.place, place, signature, note.printed)
            if place != note.place and contradicts(note, signature):
                ours.apart += note.printed
            flat = window(note.heard.midi, signature)
            fixed.add(note.place, flat, signature, note.printed)
    return {"this library": ours, "fixed window": fixed, "music21": peer}


def contradicts(note: Spelled, signature: int) -> bool:
    """Whether the sheet names a chord's own tone otherwise than the chord does."""
    tones = tuple(tone.fifths for tone in note.chord)
    own = own_names(tones, signature)[note.heard.midi % 12] if tones else None
    return own is not None and own != note.place


def by_music21(one: Score) -> list[int]:
    """The names that music21's speller gives a melody, its key known."""
    found: list[int] = []
    key = None
    for at in range(0, len(one.notes), 5):  # it weighs up to five notes together
        some = one.notes[at : at + 5]
        here = one.keys[some[0].heard.bar].signature
        if key is None or key.sharps != here:
            key = music21_key.KeySignature(here)
        pitches = [music21_pitch.Pitch(midi=note.heard.midi) for note in some]
        for each in music21_pitch.simplifyMultipleEnharmonics(pitches, keyContext=key):
            place = PLACES["CDEFGAB".index(each.step)]
            found.append(place + 7 * int(each.alter))
    return found


def cross_validated(scores: Sequence[Score], folds: int = 5) -> Tally:
    """Melodies with weights that were fitted on other sheets only."""
    every = Tally()
    rows = [rows_of(one) for one in scores]
    for fold in range(folds):
        others = [
            row for at, one in enumerate(rows) if at % folds != fold for row in one
        ]
        with using(fitted(others)):
            told = melody(scores[fold::folds])["this library"]
        every.right += told.right
        every.count += told.count
        every.apart += told.apart
        every.errors.update(told.errors)
    return every


def by_idioms_alone(scores: Sequence[Score]) -> Tally:
    """Roots with no fitted weight: only what is set by hand."""
    kept = (
        {one: dict(row) for one, row in _weights.RAISED_ROOT.items()},
        {one: dict(row) for one, row in _weights.ROOT_TO_NEXT.items()},
        dict(_weights.ROOT_FROM_LAST),
        dict(_root_search._MOTIONS),
    )
    tables = (*_weights.RAISED_ROOT.values(), *_weights.ROOT_TO_NEXT.values())
    for table in (*tables, _weights.ROOT_FROM_LAST):
        table.update(dict.fromkeys(table, 0))
    _root_search._MOTIONS.update({motion: abs(motion) for motion in kept[3]})
    _root_search._options.cache_clear()
    try:
        return roots(scores)["this library"]
    finally:
        for one, row in kept[0].items():
            _weights.RAISED_ROOT[one].update(row)
        for one, row in kept[1].items():
            _weights.ROOT_TO_NEXT[one].update(row)
        _weights.ROOT_FROM_LAST.update(kept[2])
        _root_search._MOTIONS.update(kept[3])
        _root_search._options.cache_clear()


def roots(scores: Iterable[Score]) -> dict[str, Tally]:
    """Key and quality known."""
    ours, fixed = Tally(), Tally()
    for one in scores:
        names = spell_chord_roots(
            [chord for chord, _, _ in one.chords],
            key=[key for _, _, key in one.chords],
        )
        idioms = root_idioms(
            [(c.root, c.colour, c.root if c.bass is None else c.bass)
             for c, _, _ in one.chords],
            [key for _, _, key in one.chords],
        )  # fmt: skip
        for name, (chord, place, key), found in zip(
            names, one.chords, idioms, strict=True
        ):
            ours.add(place, name.fifths, key.signature)
            if found is not None and place != name.fifths == found[1]:
                ours.apart += 1
            fixed.add(place, window(chord.root, key.signature), key.signature)
    return {"this library": ours, "fixed window": fixed}


def nothing_known(scores: Iterable[Score]) -> tuple[dict[str, Tally], list[str], int]:
    """Only notes, onsets and bar lines; also the scores whose signature was missed."""
    ours, peer = Tally(), Tally()
    missed: list[str] = []
    count = 0
    for one in scores:
        if not one.notes:
            continue
        count += 1
        found = spell_notes([note.heard for note in one.notes])
        stage_one = ps13_stage_one([note.heard.midi for note in one.notes])
        true = [note.place for note in one.notes]
        shift = max(
            (-24, -12, 0, 12, 24),
            key=lambda by: sum(
                t == p + by for t, p in zip(true, stage_one, strict=True)
            ),
        )
        for note, pitch, place in zip(one.notes, found.pitches, stage_one, strict=True):
            signature = one.keys[note.heard.bar].signature
            ours.add(note.place, pitch.fifths, signature, note.printed)
            peer.add(note.place, place + shift, signature, note.printed)
        written, told = one.keys[0].signature, found.keys[0].signature
        if written != told:
            missed.append(f"{one.name} ({written:+d}, found {told:+d})")
    return {"this library": ours, "ps13 stage one": peer}, missed, count


def report(title: str, halves: dict[str, list[Score]], task: Callable) -> None:
    for half, scores in halves.items():
        for who, tally in task(scores).items():
            print(f"  {title:34} {half:9} {who:15} {tally}")
            if half != "fitted" and who == "this library" and tally.errors:
                wrong = ", ".join(
                    f"{true} as {found} {times}"
                    for (true, found), times in tally.errors.most_common(12)
                )
                print(f"      errors by degree: {wrong}")


def report_unknown(halves: dict[str, list[Score]]) -> None:
    for half, scores in halves.items():
        tallies, missed, count = nothing_known(scores)
        for who, tally in tallies.items():
            print(f"  {'nothing known: names':34} {half:9} {who:15} {tally}")
        share = 100 * (count - len(missed)) / max(count, 1)
        print(
            f"  {'nothing known: key signature':34} {half:9} {'this library':15} "
            f"{share:7.2f} %  ({len(missed)} of {count} otherwise)"
        )
        if half != "fitted" and len(missed) < 25:
            print(f"      otherwise: {', '.join(missed)}")


def halves_of(scores: Sequence[Score], *, split: bool) -> dict[str, list[Score]]:
    if not split:
        return {"all": list(scores)}
    return {"held out": list(scores[0::2]), "fitted": list(scores[1::2])}


def speed(scores: Sequence[Score]) -> None:
    """Notes a second with the key known, and how the time grows."""
    rows = [(note, one.keys[note.heard.bar]) for one in scores for note in one.notes]

    def timed(count: int) -> tuple[float, float]:
        some = (rows * (count // max(len(rows), 1) + 1))[:count]
        midi = [note.heard.midi for note, _ in some]
        keys = [key for _, key in some]
        bars = [number // 6 for number in range(count)]
        chords = [note.chord for note, _ in some]
        best = bare = float("inf")
        for _ in range(7):
            gc.collect()
            start = time.process_time()
            spell_melody(midi, key=keys, bars=bars, chords=chords)
            best = min(best, time.process_time() - start)
            start = time.process_time()
            for number in midi:
                number % 12
            bare = min(bare, time.process_time() - start)
        return best, bare

    small, _ = timed(10_000)
    large, bare = timed(100_000)
    print("speed, key and chords known")
    print(f"  {100_000 / large:,.0f} notes a second; {large / bare:.0f} x a bare loop")
    print(f"  100,000 notes take {large / small:.1f} x what 10,000 take")


def corpus_scores(name: str) -> list[Score]:
    """The MusicXML scores that music21 carries, by its folder."""
    from music21 import corpus

    folder = Path(corpus.__file__).parent / CORPORA[name]
    paths = sorted([*folder.rglob("*.mxl"), *folder.rglob("*.xml")])
    return [one for one in read_all(paths, score) if one.notes]


def read_all(paths: Iterable[Path], read: Callable[[Path], Score]) -> list[Score]:
    scores = []
    for path in paths:
        try:
            scores.append(read(path))
        except (TheoryError, ValueError, KeyError) as error:
            print(f"  not read: {path.name}: {str(error).splitlines()[0]}")
    return scores


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("folders", nargs="*", type=Path)
    parser.add_argument("--corpus", action="append", default=[], choices=CORPORA)
    parser.add_argument(
        "--unsplit", action="store_true", help="the sheets are not those of the fit"
    )
    parser.add_argument("--no-speed", action="store_true")
    options = parser.parse_args()
    for folder in options.folders:
        paths = sorted(
            path
            for path in folder.iterdir()
            if path.suffix in (".mxl", ".musicxml", ".xml")
        )
        sheets = read_all(paths, lead_sheet)
        print(f"{folder}: {len(sheets)} lead sheets")
        halves = halves_of(sheets, split=not options.unsplit)
        report("melody, key and chords known", halves, melody)
        whole = cross_validated(sheets)
        print(f"  melody, cross-validated{'':36} {'this library':15} {whole}")
        report("chord roots, key and quality known", halves, roots)
        whole = by_idioms_alone(sheets)
        print(f"  roots, by idioms alone{'':37} {'this library':15} {whole}")
        report_unknown(halves)
        if not options.no_speed:
            speed(sheets)
    for name in options.corpus:
        scores = corpus_scores(name)
        print(f"music21 corpus, {name}: {len(scores)} scores")
        report_unknown(halves_of(scores, split=name == "chorales"))


if __name__ == "__main__":
    main()
