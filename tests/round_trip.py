"""What a part says, read back: the same sounding notes, chords, form and words."""

from leadsheet_theory import write_part
from leadsheet_theory.chords import typed_sounds
from leadsheet_theory.leadsheet import Note, joined_slashes
from leadsheet_theory.musicxml import parse_lead_sheet


def _events(line, lower):
    return [
        (
            event.onset,
            event.duration,
            tuple(pitch.midi - lower for pitch in event.pitches),
            event.value,
            event.tied_from_previous,
            event.tied_to_next,
            event.grace,
            event.lyrics,
            frozenset(event.marks),
            event.slurs,
        )
        if isinstance(event, Note)
        else (
            event.onset,
            event.duration,
            "slashes" if event.slashes else "rest",
            frozenset(event.marks),
        )
        for event in joined_slashes(line)
    ]


def _words(bar):
    return sorted(
        (each.onset, each.kind, "a sound" if typed_sounds(each.text) else each.text)
        for each in bar.directions
    )


def _said(bar, lower):
    return {
        "number": bar.number,
        "length": bar.length,
        "metre": bar.meter,
        "signature": bar.key.signature % 12,
        "melody": _events(bar.melody, lower),
        "counterline": _events(bar.counterline, lower),
        "chords": [
            (each.onset, sorted(each.symbol.pitch_classes)) for each in bar.chords
        ],
        "words": _words(bar),
        "form": bar.form,
    }


def lost(part):
    """What is not as it was when a part is written and read back: bar, what, before and
    after, in turn.

    Notes sound as the part's own, the octave less what it reports; chords by their
    notes; names are those of the part.
    """
    again = parse_lead_sheet(write_part(part)).sheet
    octaves = 12 * part.report.octaves
    sounding = part.to_sounding.chromatic
    for written, read in zip(part.bars, again.bars, strict=False):
        bar = written.bar
        before = _said(bar, -sounding + octaves)
        before["signature"] = written.shared.source.key.signature % 12
        before["chords"] = [
            (
                each.onset,
                sorted((pc + sounding) % 12 for pc in each.symbol.pitch_classes),
            )
            for each in bar.chords
        ]
        after = _said(read, octaves)
        for what, value in before.items():
            if value != after[what]:
                yield bar.number, what, value, after[what]
    if len(again.bars) != len(part.bars) + len(part.solo):
        yield 0, "bars", len(part.bars) + len(part.solo), len(again.bars)
